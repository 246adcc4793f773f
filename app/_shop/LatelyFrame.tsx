'use client';

import { useCallback, type ReactElement } from 'react';
import { latelyPlot } from '../../lib/charts/firstPass';
import type { Room } from '../../lib/charts/frame';
import { ENOUGH_JOBS, firstPassLately, type ModelLately } from '../../lib/store/questions/firstPassLately';
import type { Rate } from '../../lib/store/questions/rows';
import { count, counted, day, percent, percentRange } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';

const written = (rate: Rate): string =>
  rate.low === null || rate.high === null
    ? '–'
    : `${percent(rate.share)}, ${percentRange(rate.low, rate.high)}, n ${count(rate.n)}`;

function headline(rows: readonly ModelLately[]): string {
  const name = (change: ModelLately['change']): readonly string[] =>
    rows.filter((row) => row.change === change).map((row) => row.pump_model);
  const parts = [
    ...(name('lower').length === 0 ? [] : [`lower on ${name('lower').join(', ')}`]),
    ...(name('higher').length === 0 ? [] : [`higher on ${name('higher').join(', ')}`]),
  ];
  if (parts.length > 0) return `First pass over the last twelve months is ${parts.join(' and ')}`;
  return rows.some((row) => row.change === 'no clear change')
    ? 'No clear change in first pass over the last twelve months'
    : 'Not enough jobs to say whether first pass changed';
}

const columns: readonly SheetColumn<ModelLately>[] = [
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
  { label: terms.before, cell: (row) => written(row.before) },
  { label: terms.lately, cell: (row) => written(row.lately) },
  { label: terms.clearChange, cell: (row) => row.change },
];

function Drawn({ rows }: { rows: readonly ModelLately[] }): ReactElement {
  const draw = useCallback((room: Room) => latelyPlot(rows, room), [rows]);
  const [first] = rows;
  if (first === undefined) return <Note>Not enough jobs to say.</Note>;
  const n = (side: 'before' | 'lately'): number => rows.reduce((sum, row) => sum + row[side].n, 0);
  return (
    <>
      <ul className="tally">
        {rows.map((row) => (
          <li key={row.pump_model}>
            <b>{row.pump_model}</b> {row.change}
          </li>
        ))}
      </ul>
      <Frame
        title={headline(rows)}
        n={`${counted(n('lately'), 'job')} counted after ${day(first.since)}, ${counted(n('before'), 'job')} before`}
        method={
          `Lately is the twelve months up to ${day(first.newest)}, the newest day among these jobs. A change is called clear only ` +
          'where the two intervals (Wilson score, 95 % confidence) do not overlap. With fewer than ' +
          `${ENOUGH_JOBS} counted jobs on one side it says "not enough jobs to say".`
        }
        keys={
          <Keys
            marks={[
              ['grey dot', 'before'],
              ['blue dot', 'lately'],
              ['warm dot', 'lately, clearly lower'],
            ]}
          />
        }
        table={
          <Sheet
            caption="First pass before and lately"
            hideCaption
            columns={columns}
            rows={rows}
            rowKey={(row) => row.pump_model}
          />
        }
        draw={draw}
      />
    </>
  );
}

export function LatelyFrame(): ReactElement {
  const [filters] = useFilters();
  const asked = useAsk(firstPassLately, filters);
  return (
    <section className="section" aria-labelledby="lately">
      <h2 id="lately">What changed lately</h2>
      <Answer asked={asked} none="Not enough jobs to say: no job has a complete first measurement.">
        {(rows) => <Drawn rows={rows} />}
      </Answer>
    </section>
  );
}
