import type { ReactElement } from 'react';
import { inLogUnits, type Writer } from '../words/figures';
import { VerdictShape, type VerdictWord } from './verdictMark';

/** One barrel: its shim stack [mm] and what it delivers [mm3/stroke]; either may be unknown. */
export interface BarrelRowItem {
  readonly element: number;
  readonly stack_mm: number | null;
  readonly made_mm: number | null;
  /** Change that the plan calls for [mm]; left out where the picture tells none. */
  readonly needed_mm?: number | null;
  readonly mm3_per_stroke: number | null;
  readonly verdict: VerdictWord;
}

interface Props {
  readonly rows: readonly BarrelRowItem[];
  readonly low: number | null;
  readonly high: number | null;
  readonly width: number;
  readonly label: string;
  /** Writes the figures in the reader's units; the log's own where left out. */
  readonly write?: Writer;
}

const DELIVERY = { top: 26, height: 84 };
const BARREL = { top: 150, height: 64 };
const SHIM_TOP = BARREL.top + BARREL.height + 4;
const SHIM_HEIGHT = 34;
const HEIGHT = 322;
const LINE = 20;

/** Where a value lies between two ends of a drawn height, kept inside it. */
const along = (value: number, low: number, high: number): number =>
  high > low ? Math.min(1, Math.max(0, (value - low) / (high - low))) : 0.5;

/** The elements side by side from the drive end: shim stack under each barrel, delivery between its limits over it. */
export function BarrelRow({ rows, low, high, width, label, write = inLogUnits }: Props): ReactElement {
  const tellsNeed = rows.some((row) => row.needed_mm !== undefined);
  const height = HEIGHT + (tellsNeed ? LINE : 0);
  const left = width < 500 ? 0 : 92;
  const column = (width - left) / Math.max(1, rows.length);
  const barrel = Math.min(44, column * 0.62);
  const delivered = rows.flatMap((row) => (row.mm3_per_stroke === null ? [] : [row.mm3_per_stroke]));
  const all = [...delivered, ...[low, high].filter((value) => value !== null)];
  const least = Math.min(...all);
  const most = Math.max(...all);
  const pad = Math.max(0.5, (most - least) * 0.15);
  const y = (value: number): number => DELIVERY.top + DELIVERY.height * (1 - along(value, least - pad, most + pad));
  const largest = Math.max(0.01, ...rows.map((row) => row.stack_mm ?? 0));
  const x = (index: number): number => left + column * (index + 0.5);
  const limit = (value: number | null, name: string): ReactElement | null =>
    value === null ? null : (
      <g key={name}>
        <line x1={left} x2={width} y1={y(value)} y2={y(value)} className="barrel-limit" />
      </g>
    );
  return (
    <svg
      role="img"
      aria-label={label}
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      className="barrels"
    >
      {left === 0 ? null : (
        <g className="barrel-side">
          <text x="0" y={DELIVERY.top + 40}>
            delivery,
          </text>
          <text x="0" y={DELIVERY.top + 56}>
            {write.symbol('mm3_per_stroke')}
          </text>
          <text x="0" y={BARREL.top + 36}>
            barrel
          </text>
          <text x="0" y={SHIM_TOP + 18}>
            shim stack
          </text>
          <text x="0" y={SHIM_TOP + SHIM_HEIGHT + 20}>
            stack, {write.symbol('shim')}
          </text>
          <text x="0" y={SHIM_TOP + SHIM_HEIGHT + 40}>
            change, {write.symbol('shim')}
          </text>
          {tellsNeed ? (
            <text x="0" y={SHIM_TOP + SHIM_HEIGHT + 40 + LINE}>
              needed, {write.symbol('shim')}
            </text>
          ) : null}
        </g>
      )}
      {delivered.length === 0 ? null : [limit(low, 'low'), limit(high, 'high')]}
      {rows.map((row, index) => {
        const stack = row.stack_mm === null ? 0 : (SHIM_HEIGHT * row.stack_mm) / largest;
        const cx = x(index);
        return (
          <g key={row.element}>
            {row.mm3_per_stroke === null ? null : (
              <g className={row.verdict === 'out' ? 'barrel-delivery barrel-delivery-out' : 'barrel-delivery'}>
                <g transform={`translate(${cx} ${y(row.mm3_per_stroke)})`}>
                  <VerdictShape verdict={row.verdict} size={11} />
                </g>
              </g>
            )}
            <text x={cx} y={BARREL.top - 12} className="barrel-figure">
              {write.figure(row.mm3_per_stroke, 'mm3_per_stroke', { bare: true })}
            </text>
            <rect x={cx - barrel / 2} y={BARREL.top} width={barrel} height={BARREL.height} className="barrel-body" />
            <rect
              x={cx - barrel * 0.68}
              y={BARREL.top + BARREL.height - 10}
              width={barrel * 1.36}
              height={10}
              className="barrel-body"
            />
            <text x={cx} y={BARREL.top + 34} className="barrel-name">
              {row.element}
            </text>
            {row.stack_mm === null ? null : (
              <rect
                x={cx - barrel * 0.68}
                y={SHIM_TOP}
                width={barrel * 1.36}
                height={Math.max(2, stack)}
                className="barrel-shim"
              />
            )}
            <text x={cx} y={SHIM_TOP + SHIM_HEIGHT + 20} className="barrel-figure">
              {write.figure(row.stack_mm, 'shim', { bare: true })}
            </text>
            <text x={cx} y={SHIM_TOP + SHIM_HEIGHT + 40} className="barrel-figure">
              {row.made_mm === null || row.made_mm === 0
                ? ''
                : write.figure(row.made_mm, 'shim', { bare: true, sign: true })}
            </text>
            {row.needed_mm === undefined ? null : (
              <text x={cx} y={SHIM_TOP + SHIM_HEIGHT + 40 + LINE} className="barrel-figure">
                {write.figure(row.needed_mm, 'shim', { bare: true, sign: true })}
              </text>
            )}
          </g>
        );
      })}
    </svg>
  );
}
