'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import { signed, type Room } from '../../lib/charts/frame';
import { intervalsPlot, type IntervalRow } from '../../lib/charts/intervals';
import { offsetQuartersPlot } from '../../lib/charts/offsets';
import { FEWEST_MOVES, LATEST_MOVE, type BenchMoves } from '../../lib/store/questions/benchMoves';
import {
  FEWEST_IN_QUARTER,
  FEWEST_ON_BENCH,
  type BenchOffsets,
  type QuarterOffset,
} from '../../lib/store/questions/benchOffsets';
import { count, counted, quarterName } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

const ALIKE = terms.pumpsAlike.text;
const SAME = terms.samePumps.text;

/** An offset as it is written: sign always, two decimals. */
const percentOf = (value: number): string => `${signed(Math.round(100 * value) / 100)} %`;

interface OffsetRow extends IntervalRow {
  readonly way: string;
}

const columns: readonly SheetColumn<OffsetRow>[] = [
  { label: logLabel('jobs', 'bench_id'), cell: (row) => row.name },
  { label: { ...terms.benchOffset, text: 'by' }, head: 'by', cell: (row) => row.way },
  { label: { ...terms.benchOffset, unit: null }, cell: (row) => percentOf(row.value), number: true },
  {
    label: { ...terms.interval, unit: null },
    cell: (row) => `${percentOf(row.low)} to ${percentOf(row.high)}`,
    number: true,
  },
  { label: terms.n, head: 'pumps', cell: (row) => count(row.n), number: true },
];

function offsetRows(told: BenchOffsets, moves: BenchMoves | null): OffsetRow[] {
  const alike = told.benches.map((row) => ({ name: row.bench_id, way: ALIKE, value: row.offset, ...row }));
  const same = (moves?.benches ?? []).flatMap(({ bench_id, came, went, offset }) =>
    offset === null ? [] : [{ name: bench_id, way: SAME, n: came + went, value: offset.offset, ...offset }],
  );
  return [...alike, ...same].toSorted((a, b) => a.name.localeCompare(b.name));
}

function titleOf(told: BenchOffsets): string {
  const apart = told.benches.filter(({ low, high }) => low > 0 || high < 0);
  return apart.length === 0
    ? 'No bench stands clear of the others over these jobs'
    : `Over these jobs: ${apart
        .map(({ bench_id, offset }) => `${bench_id} ${percentOf(Math.round(10 * offset) / 10)}`)
        .join(', ')} against the others`;
}

/** Offset of each bench over all picked jobs, found in two ways. */
export function ByBench({ told, moves }: { told: BenchOffsets; moves: BenchMoves | null }): ReactElement {
  const rows = useMemo(() => offsetRows(told, moves), [told, moves]);
  const draw = useCallback(
    (room: Room) =>
      intervalsPlot(rows, { label: 'Offset (%)', write: percentOf, zero: 'of note', tickFormat: signed }, room),
    [rows],
  );
  const title = titleOf(told);
  const thin = told.thin.length === 0 ? '' : ` Not enough data: ${told.thin.join(', ')}.`;
  if (rows.length === 0) {
    return (
      <Note>
        Not enough data: a bench needs {FEWEST_ON_BENCH} jobs read as received at the base point, of models and work
        that another bench had too; {counted(told.read, 'job')} could be read.{thin}
      </Note>
    );
  }
  return (
    <Frame
      title={title}
      n={`${counted(told.n, 'job')} of pumps alike, ${counted(moves?.n ?? 0, 'pump')} that changed benches`}
      method={
        'Pumps alike: mean delivery as received at the base point against the middle of its band, taken off the level of the same model and ' +
        `type of work, each bench against the mean of the others (Welch); needs ${FEWEST_ON_BENCH} jobs a bench. Same pumps: as received on one bench over as left ` +
        `on another at most ${LATEST_MOVE} months before; half the difference of what came and what went, so that wear cancels; needs ${FEWEST_MOVES} either way. ` +
        `Intervals of each kind hold together at 95 %. A bench that is off moves the others the other way. It can be the pumps too, where a bench has customers of its own.${thin}`
      }
      keys={
        <Keys
          marks={[
            ['blue dot', ALIKE],
            ['diamond', `${ALIKE}, clear of 0`],
            ...(rows.some((row) => row.way === SAME) ? ([['grey dot', SAME]] as const) : []),
          ]}
        />
      }
      table={
        <Sheet caption={title} hideCaption columns={columns} rows={rows} rowKey={(row) => `${row.name} ${row.way}`} />
      }
      draw={draw}
    />
  );
}

const quarterColumns: readonly SheetColumn<QuarterOffset>[] = [
  { label: logLabel('jobs', 'bench_id'), cell: (row) => row.bench_id },
  { label: terms.quarter, cell: (row) => quarterName(row.quarter) },
  { label: { ...terms.benchOffset, unit: null }, cell: (row) => percentOf(row.offset), number: true },
  {
    label: { ...terms.interval, unit: null },
    cell: (row) => `${percentOf(row.low)} to ${percentOf(row.high)}`,
    number: true,
  },
  { label: terms.n, cell: (row) => count(row.n), number: true },
];

/** The same by pumps alike, quarter by quarter, so that it is seen when a bench moved. */
export function ByQuarter({ told }: { told: BenchOffsets }): ReactElement {
  const { quarters, changes } = told;
  const draw = useCallback((room: Room) => offsetQuartersPlot(quarters, room), [quarters]);
  if (quarters.length === 0) {
    return (
      <Note>
        Not enough data to follow benches over time: no quarter has {FEWEST_IN_QUARTER} jobs on each of two benches.
      </Note>
    );
  }
  const [moved] = changes;
  const title =
    moved === undefined
      ? 'No bench moved against the others at one clear time'
      : `${moved.bench_id} moved against the others about ${quarterName(moved.quarter)}`;
  return (
    <Frame
      title={title}
      n={`${counted(new Set(quarters.map((row) => row.quarter)).size, 'quarter')}, ${counted(told.n, 'job')}`}
      method={
        `Pumps alike, as above, quarter by quarter; quarters with fewer than ${FEWEST_IN_QUARTER} jobs on a bench are left out. Line: 95 % interval of ` +
        'that quarter alone, cut where it leaves the axis. A move is told where the likeliest single change of level has p of 0.01 or less, by ' +
        'searching 999 random orders of the same quarters. Benches that did not move look as if they moved a little the other way.'
      }
      keys={
        <Keys
          marks={[
            ['blue dot', 'offset'],
            ['diamond', 'clear of 0'],
          ]}
        />
      }
      table={
        <Sheet
          caption={title}
          hideCaption
          columns={quarterColumns}
          rows={quarters.toSorted((a, b) => a.bench_id.localeCompare(b.bench_id))}
          rowKey={(row) => `${row.bench_id} ${row.quarter}`}
        />
      }
      draw={draw}
    />
  );
}
