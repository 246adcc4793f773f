'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { intervalsPlot } from '../../lib/charts/intervals';
import { FEWEST_REPEATS, repeatDraws, type Repeatability } from '../../lib/store/questions/repeatDraws';
import { count, counted, NO_FIGURE } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure, Written } from '../_shell/Figure';
import { Frame } from '../_shell/Frame';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';

const UNIT = 'mm3_per_stroke';
const FINE = { decimals: 2 } as const;

const columns: readonly SheetColumn<Repeatability>[] = [
  { label: logLabel('jobs', 'bench_id'), cell: (row) => row.bench_id },
  { label: logLabel('draws', 'test_point'), cell: (row) => row.test_point ?? 'all' },
  { label: terms.repeatDraws, cell: (row) => count(row.repeats), number: true },
  { label: terms.repeatReadings, cell: (row) => count(row.readings), number: true },
  {
    label: terms.repeatability,
    cell: (row) =>
      row.sd === null ? 'not enough data' : <Figure value={row.sd.sd} unit={UNIT} bare decimals={FINE.decimals} />,
    number: true,
  },
  {
    label: { ...terms.interval, unit: null },
    cell: ({ sd }) =>
      sd === null ? (
        NO_FIGURE
      ) : (
        <Written>
          {({ figure }) => `${figure(sd.low, UNIT, { ...FINE, bare: true })} to ${figure(sd.high, UNIT, FINE)}`}
        </Written>
      ),
    number: true,
  },
];

function RepeatFrame({ rows }: { rows: readonly Repeatability[] }): ReactElement {
  const write = useUnits();
  const told = useMemo(
    () => rows.flatMap(({ test_point, sd, ...row }) => (test_point === null && sd !== null ? [{ ...row, ...sd }] : [])),
    [rows],
  );
  const draw = useCallback(
    (room: Room) => {
      const scale = write.scale(UNIT);
      return intervalsPlot(
        told.map((row) => ({
          name: row.bench_id,
          n: row.repeats,
          value: scale(row.sd),
          low: scale(row.low),
          high: scale(row.high),
        })),
        {
          label: write.axis('Scatter of a draw, standard deviation', UNIT),
          write: (value) => value.toFixed(2),
          zero: 'the start',
        },
        room,
      );
    },
    [told, write],
  );
  const [best, worst] = [told.toSorted((a, b) => a.sd - b.sd)[0], told.toSorted((a, b) => b.sd - a.sd)[0]];
  if (best === undefined || worst === undefined) {
    return (
      <Note>
        Not enough data: no bench has {FEWEST_REPEATS} draws that count beyond the first at a test point of a run.
      </Note>
    );
  }
  const title =
    told.length === 1
      ? `${best.bench_id}: a draw repeats with a standard deviation of ${write.figure(best.sd, UNIT, FINE)}`
      : worst.low > best.high
        ? `Draws repeat best on ${best.bench_id}, worst on ${worst.bench_id}`
        : 'Draws repeat about as well on every bench';
  return (
    <Frame
      title={title}
      n={`${counted(
        told.reduce((sum, row) => sum + row.repeats, 0),
        'repeat draw',
      )}, ${counted(
        told.reduce((sum, row) => sum + row.readings, 0),
        'reading',
      )}`}
      method={
        `Draws that count, repeated at one test point within one run: variance about the mean of each element, pooled; needs ${FEWEST_REPEATS} draws beyond ` +
        'the first. Line: 95 % interval (chi-square), which counts draws and not readings, as the elements of a draw share rack and speed. n: draws beyond ' +
        'the first. It holds setting rack and speed again as well as reading the graduates. The table has each test point.'
      }
      table={
        <Sheet
          caption={title}
          hideCaption
          columns={columns}
          rows={rows}
          rowKey={(row) => `${row.bench_id} ${row.test_point ?? ''}`}
        />
      }
      draw={draw}
    />
  );
}

/** How far apart draws of the same pump lie that were made one after the other, bench by bench. */
export function RepeatDraws(): ReactElement {
  const [filters] = useFilters();
  const asked = useAsk(repeatDraws, filters);
  return (
    <Answer asked={asked} none="No test point was drawn twice within a run in the jobs that match.">
      {(rows) => <RepeatFrame rows={rows} />}
    </Answer>
  );
}
