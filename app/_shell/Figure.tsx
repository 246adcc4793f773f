import type { ReactElement, ReactNode } from 'react';
import type { Unit } from '../../lib/units/units';
import { figure, shimChange, type FigureStyle } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';

/** A figure with its unit; the plain number stands in `value` for whoever reads the page by machine. */
export function Figure({ value, unit, ...style }: { value: number | null; unit: Unit } & FigureStyle): ReactElement {
  const text = figure(value, unit, style);
  return value === null || !Number.isFinite(value) ? (
    <span className="fig">{text}</span>
  ) : (
    <data className="fig" value={value}>
      {text}
    </data>
  );
}

/** A change of a stack, with its sign and the way the hand must go. */
export function ShimChange({ mm, decimals = 2 }: { mm: number | null; decimals?: number }): ReactElement {
  return mm === null ? (
    <span className="fig">{shimChange(mm)}</span>
  ) : (
    <data className="fig" value={mm}>
      {shimChange(mm, { decimals })}
    </data>
  );
}

/** Marks a figure that rests on a value the specification does not state. */
export function Assumed({ children }: { children?: ReactNode }): ReactElement {
  return (
    <span className="assumed" title={terms.assumed.meaning}>
      {children ?? terms.assumed.text}
    </span>
  );
}
