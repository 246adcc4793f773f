import type { ReactElement } from 'react';

export type VerdictWord = 'in' | 'out' | 'cannot tell' | 'not measured';

/** The shape of each verdict, legible in black and white: full disc, diamond, half disc, ring of dashes. Centred on 0, 0. */
export function VerdictShape({ verdict, size }: { verdict: VerdictWord; size: number }): ReactElement {
  const r = size / 2;
  switch (verdict) {
    case 'in':
      return <circle r={r * 0.8} className="mark-in" />;
    case 'out':
      return <path d={`M0 ${-r} L${r} 0 L0 ${r} L${-r} 0 Z`} className="mark-out" />;
    case 'cannot tell':
      return (
        <g className="mark-open">
          <circle r={r * 0.8} />
          <path d={`M0 ${-r * 0.8} A${r * 0.8} ${r * 0.8} 0 0 0 0 ${r * 0.8} Z`} className="mark-half" />
        </g>
      );
    case 'not measured':
      return <circle r={r * 0.8} className="mark-open" strokeDasharray="2 2" />;
  }
}
