'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { stillOutPlot } from '../../lib/charts/returns';
import {
  FEWEST_OUT,
  returnTests,
  type ReturnCurve,
  type ReturnKind,
  type ReturnTest,
} from '../../lib/store/questions/returnCurves';
import { pValue } from '../../lib/words/chance';
import { count, counted, percent, percentRange } from '../../lib/words/figures';
import { logLabel, terms, type Label } from '../../lib/words/labels';
import { months, monthsRange } from '../../lib/words/spans';
import { useAsk } from '../_log/useAsk';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';

const groupWords = { all: 'jobs', model: 'models', work: 'types of work' } as const;
const CLEAR = 0.05;

const columns = (label: Label): readonly SheetColumn<ReturnCurve>[] => [
  { label, cell: (row) => row.name },
  { label: terms.outJobs, cell: (row) => count(row.n), number: true },
  { label: terms.cameBack, cell: (row) => count(row.back), number: true },
  {
    label: terms.monthsToReturn,
    cell: (row) => (Number.isFinite(row.median.time) ? months(row.median.time) : 'fewer than half came back'),
    number: true,
  },
  {
    label: terms.monthsToReturn,
    head: 'interval of it',
    cell: (row) => monthsRange(row.median.low, row.median.high),
    number: true,
  },
  { label: terms.outAfterYear, cell: (row) => percent(row.year?.survival ?? null), number: true },
  {
    label: terms.outAfterYear,
    head: 'interval of that',
    cell: (row) => (row.year === null ? 'not known' : percentRange(row.year.low, row.year.high)),
    number: true,
  },
];

const soonestFirst = (a: ReturnCurve, b: ReturnCurve): number => a.median.time - b.median.time;

/** What the curves show: which group is back soonest, where they differ at all. */
function titleOf(rows: readonly ReturnCurve[], test: ReturnTest | undefined, words: string): string {
  const known = rows.filter((row) => Number.isFinite(row.median.time)).toSorted(soonestFirst);
  const [first, last] = [known[0], known.at(-1)];
  if (first === undefined || last === undefined) return `Fewer than half came back, whatever the ${words}`;
  if (rows.length === 1) return `${first.name}: half are back within ${months(first.median.time)}`;
  if (test?.p === undefined || test.p === null || test.p > CLEAR) {
    return `No clear difference between ${words} in how soon pumps come back`;
  }
  return `Back soonest: ${first.name}, half within ${months(first.median.time)}; latest: ${last.name}, ${months(last.median.time)}`;
}

const testWords = (test: ReturnTest | undefined, words: string): string =>
  test === undefined || test.groups < 2
    ? `With fewer than two ${words} of ${FEWEST_OUT} jobs there is nothing to compare.`
    : test.p === null
      ? `Not enough data to compare ${words}: no two were out together at any return.`
      : `Do ${words} come back at one pace? Log-rank test, ${counted(test.groups, 'group')}, ${counted(test.n, 'job')}: ${pValue(test.p)}` +
        `${test.p > CLEAR ? ', so chance alone may make such differences' : ''}.`;

/** Curves of pumps still out, one a model or a type of work. */
export function CurveFrame({ kind, rows }: { kind: ReturnKind; rows: readonly ReturnCurve[] }): ReactElement {
  const [filters] = useFilters();
  const tests = useAsk(returnTests, filters);
  const test = tests.rows?.find((row) => row.kind === kind);
  const own = useMemo(() => rows.filter((row) => row.kind === kind), [rows, kind]);
  const told = useMemo(() => own.filter((row) => row.n >= FEWEST_OUT), [own]);
  const thin = own.filter((row) => row.n < FEWEST_OUT);
  const draw = useCallback(
    (room: Room) =>
      stillOutPlot(
        told.flatMap(({ name, steps }) => steps.map(({ survival, ...step }) => ({ ...step, name, share: survival }))),
        told.flatMap(({ name, atRisk }) => atRisk.map((row) => ({ ...row, name }))),
        room,
      ),
    [told],
  );
  const words = groupWords[kind];
  const few =
    thin.length === 0
      ? null
      : `Not enough data: ${thin.map((row) => `${row.name} (${counted(row.n, 'job')})`).join(', ')}; fewer than ${FEWEST_OUT} are not drawn.`;
  if (told.length === 0) return <Note>{few}</Note>;
  const title = titleOf(told, test, words);
  return (
    <>
      <Frame
        title={title}
        n={`${counted(
          told.reduce((sum, row) => sum + row.n, 0),
          'job',
        )}, ${counted(
          told.reduce((sum, row) => sum + row.back, 0),
          'return',
        )}`}
        method={
          'From the day a job was finished (or came in, where that is not written) to the next job of the same serial number; pumps still out ' +
          'count up to the last day of the log. Product-limit curve (Kaplan-Meier) with 95 % interval on the log(−log) scale. Numbers under ' +
          `zero: pumps still out and watched. ${testWords(test, words)} One pump may stand in it more than once.`
        }
        keys={
          <Keys
            marks={[
              ['blue line', 'share still out'],
              ['band', '95 % interval'],
              ['limit', 'half'],
            ]}
          />
        }
        table={
          <Sheet
            caption={title}
            hideCaption
            columns={columns(logLabel('jobs', kind === 'work' ? 'work_type' : 'pump_model'))}
            rows={own}
            rowKey={(row) => row.name}
          />
        }
        draw={draw}
      />
      {few === null ? null : <Note>{few}</Note>}
    </>
  );
}
