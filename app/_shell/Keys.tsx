import type { ReactElement, ReactNode } from 'react';

type Mark =
  | 'warm dot'
  | 'blue dot'
  | 'open dot'
  | 'grey dot'
  | 'band'
  | 'bar'
  | 'blue bar'
  | 'blue line'
  | 'grey line'
  | 'limit'
  | 'diamond'
  | 'square'
  | 'open diamond'
  | 'cross'
  | 'tick';

const shapes: Readonly<Record<Mark, ReactNode>> = {
  'blue dot': <circle cx="9" cy="6" r="4" fill="var(--blue)" />,
  'warm dot': <circle cx="9" cy="6" r="4" fill="var(--warm)" />,
  'open dot': <circle cx="9" cy="6" r="3.5" fill="var(--sheet)" stroke="var(--blue)" strokeWidth="1.5" />,
  'grey dot': <circle cx="9" cy="6" r="3.5" fill="var(--sheet)" stroke="var(--grey)" strokeWidth="2" />,
  band: <rect x="0" y="1" width="18" height="10" fill="var(--blue-wash)" />,
  bar: <rect x="6" y="0" width="6" height="12" fill="var(--blue)" opacity="0.35" />,
  'blue bar': <rect x="0" y="0" width="18" height="12" fill="var(--blue)" />,
  'blue line': <line x1="0" x2="18" y1="6" y2="6" stroke="var(--blue)" strokeWidth="2" />,
  'grey line': <line x1="0" x2="18" y1="6" y2="6" stroke="var(--grey)" strokeWidth="2" strokeDasharray="4 3" />,
  limit: <line x1="0" x2="18" y1="6" y2="6" stroke="var(--ink)" strokeDasharray="5 3" />,
  diamond: <path d="M9 0 L15 6 L9 12 L3 6 Z" fill="var(--warm)" />,
  square: <rect x="4.5" y="1.5" width="9" height="9" fill="var(--blue)" />,
  'open diamond': <path d="M9 1 L14 6 L9 11 L4 6 Z" fill="var(--sheet)" stroke="var(--grey)" strokeWidth="1.75" />,
  cross: <path d="M5 2 L13 10 M13 2 L5 10" stroke="var(--iron)" strokeWidth="1.5" />,
  tick: <line x1="2" x2="16" y1="6" y2="6" stroke="var(--grey)" strokeWidth="1.5" />,
};

/** What the marks of a plot stand for. */
export function Keys({ marks }: { marks: readonly (readonly [Mark, string])[] }): ReactElement {
  return (
    <ul className="keys">
      {marks.map(([mark, words]) => (
        <li key={words}>
          <svg width="18" height="12" viewBox="0 0 18 12" aria-hidden="true">
            {shapes[mark]}
          </svg>
          {words}
        </li>
      ))}
    </ul>
  );
}
