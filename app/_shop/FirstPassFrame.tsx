'use client';

import Link from 'next/link';
import { useCallback, type ReactElement } from 'react';
import { firstPassPlot } from '../../lib/charts/firstPass';
import type { Room } from '../../lib/charts/frame';
import type { ModelRate } from '../../lib/store/questions/firstPassByModel';
import { count, counted, percent, percentRange } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { address, useFilters } from '../_shell/useFilters';

/** Fewer counted jobs than these say nothing of a model. */
const LEAST_COUNTED = 10;

/** States which model passes least often, and whether it can be told apart from the next at all. */
function headline(rows: readonly ModelRate[]): string {
  const [worst, next] = rows.filter((row) => row.n >= LEAST_COUNTED);
  if (worst === undefined || worst.share === null || worst.low === null || worst.high === null) {
    return `No model has ${LEAST_COUNTED} counted jobs, too few to compare`;
  }
  const range = percentRange(worst.low, worst.high);
  if (next === undefined) return `${worst.pump_model} passes first time in ${percent(worst.share)} of jobs, ${range}`;
  const apart = next.low !== null && worst.high < next.low;
  const least = `${worst.pump_model} passes first time least often: ${percent(worst.share)} of jobs, ${range}`;
  return apart ? least : `${least}; ${next.pump_model} may be no better`;
}

export function FirstPassFrame({
  rows,
  overall,
}: {
  rows: readonly ModelRate[];
  overall: number | null;
}): ReactElement {
  const [filters] = useFilters();
  const draw = useCallback((room: Room) => firstPassPlot(rows, overall, room), [rows, overall]);
  const n = rows.reduce((sum, row) => sum + row.n, 0);
  const left = rows.reduce((sum, row) => sum + row.not_counted, 0);
  if (n === 0)
    return <Note>Not enough jobs to say: none of {counted(left, 'job')} has a complete first measurement.</Note>;
  const columns: readonly SheetColumn<ModelRate>[] = [
    {
      label: logLabel('jobs', 'pump_model'),
      cell: (row) => <Link href={address('/jobs/', { ...filters, model: row.pump_model })}>{row.pump_model}</Link>,
    },
    {
      label: { ...terms.firstPass, unit: null },
      cell: (row) => <data value={row.share ?? ''}>{percent(row.share)}</data>,
      number: true,
    },
    {
      label: { ...terms.interval, unit: null },
      cell: (row) => (row.low === null || row.high === null ? '–' : percentRange(row.low, row.high)),
      number: true,
    },
    { label: terms.counted, cell: (row) => count(row.n), number: true },
    { label: terms.yes, head: 'passed', cell: (row) => count(row.passed), number: true },
    { label: terms.notCounted, cell: (row) => count(row.not_counted), number: true },
  ];
  return (
    <Frame
      title={headline(rows)}
      n={`${counted(n, 'job')} counted, ${count(left)} not counted`}
      method={
        'First pass: timing and phasing, every test point and the governor checks of the specification were in at the first measurement after ' +
        'assembly (run 1). A job with a stage that has no complete run 1 is not ' +
        'counted. The line through each dot is the Wilson score interval at 95 % confidence: where the true rate may ' +
        'well lie. Worst first.'
      }
      keys={
        <Keys
          marks={[
            ['blue dot', 'rate'],
            ['blue line', 'interval'],
            ['limit', 'all models together'],
          ]}
        />
      }
      table={
        <Sheet
          caption="First pass by model"
          hideCaption
          columns={columns}
          rows={rows}
          rowKey={(row) => row.pump_model}
        />
      }
      draw={draw}
    />
  );
}
