import type { ReactElement } from 'react';
import { inLogUnits, type Writer } from '../words/figures';
import { VerdictShape, type VerdictWord } from './verdictMark';

/** One element's closure in one run [degrees of camshaft]. */
export interface ClosureRow {
  readonly element: number;
  readonly nominal_deg: number;
  /** Minus is early; empty where it was not measured. */
  readonly error_deg: number | null;
  readonly verdict: VerdictWord;
  /** Expanded uncertainty of the error; left out or empty where none is stated. */
  readonly uncertainty_deg?: number | null;
}

const rad = (deg: number): number => ((deg - 90) * Math.PI) / 180;
const round = (value: number): number => Math.round(value * 100) / 100;
/** A place on the wheel: 0 at the top, angles run clockwise. */
const at = (deg: number, r: number): { x: number; y: number } => ({
  x: round(r * Math.cos(rad(deg))),
  y: round(r * Math.sin(rad(deg))),
});

/**
 * By how much errors and tolerances are drawn larger than life: so that neither the widest tolerance nor the largest error
 * reaches half-way to the next closure. At least 1.
 */
export function magnification(rows: readonly ClosureRow[], tolerance: number): number {
  const nominals = rows.map((row) => row.nominal_deg).toSorted((a, b) => a - b);
  const gaps = nominals.map((nominal, i) => (nominals[i + 1] ?? (nominals[0] ?? 0) + 360) - nominal);
  const gap = Math.min(360, ...gaps.filter((g) => g > 0));
  const largest = Math.max(0, ...rows.map((row) => Math.abs(row.error_deg ?? 0)));
  const forTolerance = tolerance > 0 ? (0.17 * gap) / tolerance : Infinity;
  const forError = largest > 0 ? (0.42 * gap) / largest : Infinity;
  const factor = Math.min(forTolerance, forError, 60);
  return Math.max(1, Math.floor(factor));
}

function wedge(from: number, to: number, inner: number, outer: number): string {
  const [a, b, c, d] = [at(from, inner), at(from, outer), at(to, outer), at(to, inner)];
  return `M${a.x} ${a.y} L${b.x} ${b.y} A${outer} ${outer} 0 0 1 ${c.x} ${c.y} L${d.x} ${d.y} A${inner} ${inner} 0 0 0 ${a.x} ${a.y} Z`;
}

interface Props {
  readonly rows: readonly ClosureRow[];
  /** Allowed either way [degrees of camshaft]. */
  readonly tolerance: number;
  readonly size: number;
  readonly label: string;
  /** How much larger than life; where wheels are compared it is the same for all. Left out, it goes by these rows. */
  readonly larger?: number;
  /** Writes the errors in the reader's units; the log's own where left out. */
  readonly write?: Writer;
}

const arc = (from: number, to: number, r: number): string => {
  const [a, b] = [at(from, r), at(to, r)];
  return `M${a.x} ${a.y} A${r} ${r} 0 0 1 ${b.x} ${b.y}`;
};

/** The closures round the camshaft, the reference at the top: wedges of tolerance and a hand for each closure read. */
export function DegreeWheel({ rows, tolerance, size, label, larger, write = inLogUnits }: Props): ReactElement {
  const factor = larger ?? magnification(rows, tolerance);
  const rim = 128;
  const inner = rim * 0.5;
  const reach = 182;
  return (
    <svg
      role="img"
      aria-label={label}
      width={size}
      height={size}
      viewBox={`${-reach} ${-reach} ${2 * reach} ${2 * reach}`}
      className="wheel"
    >
      <circle r={rim} className="wheel-rim" />
      <circle r={inner} className="wheel-hub" />
      {rows.map((row) => (
        <path
          key={`tolerance ${row.element}`}
          d={wedge(row.nominal_deg - tolerance * factor, row.nominal_deg + tolerance * factor, inner, rim)}
          className="wheel-tolerance"
        />
      ))}
      {rows.map((row) => {
        const nominalIn = at(row.nominal_deg, inner);
        const nominalOut = at(row.nominal_deg, rim);
        const name = at(row.nominal_deg, rim + 27);
        const hand = row.nominal_deg + (row.error_deg ?? 0) * factor;
        const tip = at(hand, rim * 0.96);
        const foot = at(hand, inner * 0.72);
        return (
          <g key={row.element}>
            <line x1={nominalIn.x} y1={nominalIn.y} x2={nominalOut.x} y2={nominalOut.y} className="wheel-nominal" />
            {row.error_deg === null ? null : (
              <g className={row.verdict === 'out' ? 'wheel-hand wheel-hand-out' : 'wheel-hand'}>
                <line x1={foot.x} y1={foot.y} x2={tip.x} y2={tip.y} />
                {row.uncertainty_deg == null ? null : (
                  <path
                    d={arc(hand - row.uncertainty_deg * factor, hand + row.uncertainty_deg * factor, rim * 0.82)}
                    className="wheel-uncertainty"
                    fill="none"
                  />
                )}
                <g transform={`translate(${tip.x} ${tip.y})`}>
                  <VerdictShape verdict={row.verdict} size={13} />
                </g>
              </g>
            )}
            <text x={name.x} y={name.y} className="wheel-name">
              <tspan x={name.x} dy="-0.1em" className="wheel-element">
                {row.element}
              </tspan>
              <tspan x={name.x} dy="1.15em">
                {write.figure(row.error_deg, 'cam_deg', { sign: true, terse: true })}
              </tspan>
            </text>
          </g>
        );
      })}
      <text className="wheel-factor">
        <tspan x="0" dy="-0.8em">
          errors in {write.symbol('cam_deg')},
        </tspan>
        <tspan x="0" dy="1.2em">
          drawn
        </tspan>
        <tspan x="0" dy="1.2em">
          {factor}× larger
        </tspan>
      </text>
    </svg>
  );
}
