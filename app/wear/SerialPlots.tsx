'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import { scaledAxis, signed, type Room } from '../../lib/charts/frame';
import { visitsPlot, type VisitRow, type VisitStyle } from '../../lib/charts/visits';
import { FEWEST_RUNS } from '../../lib/store/digests';
import type { VisitReading } from '../../lib/store/questions/visitReadings';
import { visitScatter, type VisitScatter } from '../../lib/store/questions/visitScatter';
import { counted, day, type Writer } from '../../lib/words/figures';
import { logLabel, resultLabel, terms, type Label } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useUnits } from '../_shell/useUnits';

/** Fewer visits than this make no trend. */
const TREND = 3;

interface Shown {
  readonly title: string;
  readonly method: string;
  readonly style: VisitStyle;
  /** What the filled marks stand for, and the open ones where there are any. */
  readonly labels: readonly [Label, Label];
  readonly words: readonly [string, string];
  /** What is counted in n; null where each visit has one figure. */
  readonly reading: string | null;
}

const write = (value: number | null, style: VisitStyle): string => (value === null ? '–' : style.write(value));

function tableColumns({ style, labels, words }: Shown, open: boolean): readonly SheetColumn<VisitRow>[] {
  const bare = (label: Label): Label => ({ ...label, unit: null });
  return [
    ...(style.head === undefined
      ? [{ label: resultLabel('phasing', 'element'), cell: (row: VisitRow) => row.element, number: true }]
      : []),
    { label: logLabel('jobs', 'received_on'), cell: (row) => day(row.received_on), number: true },
    { label: bare(labels[0]), head: words[0], cell: (row) => write(row.received, style), number: true },
    ...(open
      ? [{ label: bare(labels[1]), head: words[1], cell: (row: VisitRow) => write(row.left, style), number: true }]
      : []),
  ];
}

function VisitsFrame({ rows, shown }: { rows: readonly VisitRow[]; shown: Shown }): ReactElement {
  const { title, method, style, words, reading } = shown;
  const draw = useCallback((room: Room) => visitsPlot(rows, style, room), [rows, style]);
  const read = rows.filter((row) => row.received !== null || row.left !== null);
  if (read.length === 0) return <Note>{title}: nothing was read at any visit.</Note>;
  const days = new Set(read.map((row) => row.received_on)).size;
  const open = rows.some((row) => row.left !== null);
  return (
    <Frame
      title={title}
      n={`${reading === null ? '' : `${counted(read.length, reading)} at `}${counted(days, 'visit')}${days < TREND ? ', too few to call it a trend' : ''}`}
      method={method}
      keys={
        <Keys
          marks={[
            ['blue dot', words[0]],
            ...(open ? [['grey dot', words[1]] as const] : []),
            ...(style.limits.length > 0 ? ([['limit', 'limit']] as const) : []),
          ]}
        />
      }
      table={
        <Sheet
          caption={title}
          hideCaption
          columns={tableColumns(shown, open)}
          rows={rows}
          rowKey={(row) => `${row.element} ${row.received_on}`}
        />
      }
      draw={draw}
    />
  );
}

const inPercent = (share: number | null): number | null => (share === null ? null : 100 * share);
/** What stands on an axis of shares in percent already. */
const percentStyle = (write: Writer, text: string): { label: string; write: VisitStyle['write'] } => ({
  label: write.axis(text, 'percent'),
  write: (value) => write.figure(value, 'percent'),
});
const READ = ['as received', 'as left'] as const;

const retainedShown = (write: Writer): Shown => ({
  title: 'Low-speed retention of each element over the visits',
  method:
    `No baseline: the specification states none, and fewer than ${FEWEST_RUNS} runs of the model were left with new plungers and ` +
    'barrels. Delivery at low speed over delivery at rated speed, same rack. It falls as plunger and barrel wear.',
  style: { ...percentStyle(write, 'Low-speed retention'), tickFormat: '~f', limits: [], zero: false },
  labels: [terms.retention, terms.retention],
  words: READ,
  reading: 'element reading',
});
function stacksShown(write: Writer): Shown {
  const { decimals, ...axis } = scaledAxis(write, 'Shim stack', 'shim');
  return {
    title: 'Shim stack of each element over the visits',
    method:
      'Stack left after the last change of a job, beside the one found before its first, of a split pair the mean of its halves. Visits at ' +
      'which no stack was written down have no mark. New tappets, rollers or barrels change it too.',
    style: {
      ...axis,
      write: (value) => write.figure(value, 'shim'),
      tickFormat: `.${decimals}f`,
      limits: [],
      zero: false,
      words: ['after the job', 'before it'],
    },
    labels: [terms.stackAfter, terms.stackBefore],
    words: ['after the job', 'before it'],
    reading: 'element reading',
  };
}

function deficitShown(rows: readonly VisitReading[], write: Writer): Shown {
  const based = rows.find((row) => row.deficit_received !== null || row.deficit_left !== null);
  const runs = Math.max(0, ...rows.map((row) => row.baseline_runs ?? 0));
  const basis =
    based?.basis === 'stated'
      ? 'the ratio that the specification states'
      : `the median of ${counted(runs, 'as-left run')} of the model after new plungers and barrels`;
  return {
    title: 'Retention deficit of each element over the visits',
    method:
      `1 − retention / baseline, the baseline being ${basis}. It grows as plunger and barrel wear; new ones bring it back. A leaking ` +
      'delivery valve, warm or thin fluid or a misread graduate can raise it too.',
    style: { ...percentStyle(write, 'Retention deficit'), tickFormat: signed, limits: [], zero: true },
    labels: [terms.retentionDeficit, terms.retentionDeficit],
    words: READ,
    reading: 'element reading',
  };
}

function rotationShown(rows: readonly VisitReading[], write: Writer): Shown {
  const slot = rows.findLast((row) => row.slot_deg !== null)?.slot_deg ?? null;
  return {
    title: 'Rotation used of each element over the visits',
    method:
      'Turns of all jobs in this log, added with their sign, plus raises delivery; from 0 again where a new plunger and barrel was fitted. ' +
      (slot === null
        ? 'No slot is stated, or sleeves are turned. '
        : `Broken lines: ends of the slot, ${write.figure(slot, 'deg')} end to end, the barrel taken to have begun at mid-slot. `) +
      'What was turned before the log began is not known. Uneven wear is one reason to turn a barrel, a new rack setting or nozzle another.',
    style: {
      label: write.axis('Rotation used', 'deg'),
      scale: write.scale('deg'),
      write: (value) => write.figure(value, 'deg', { sign: true }),
      tickFormat: signed,
      limits: slot === null ? [] : [-slot / 2, slot / 2],
      zero: true,
      words: ['after the job', ''],
    },
    labels: [terms.rotationUsed, terms.rotationUsed],
    words: ['after the job', ''],
    reading: 'element standing',
  };
}

function errorShown(rows: readonly VisitReading[], write: Writer): Shown {
  const tolerance = rows.find((row) => row.tolerance_deg !== null)?.tolerance_deg ?? null;
  return {
    title: 'Phase error of each element as received, over the visits',
    method: `Run 0. Minus is early, plus is late.${tolerance === null ? '' : ` Broken lines: tolerance, ±${write.figure(tolerance, 'cam_deg')}.`} Diamond where beyond it.`,
    style: {
      label: write.axis('Phase error', 'cam_deg'),
      scale: write.scale('cam_deg'),
      write: (value) => write.figure(value, 'cam_deg', { sign: true }),
      tickFormat: signed,
      limits: tolerance === null ? [] : [-tolerance, tolerance],
      zero: true,
    },
    labels: [terms.phaseError, terms.phaseError],
    words: ['as received', ''],
    reading: 'element reading',
  };
}

type Pick = (row: VisitReading) => number | null;
const nothing: Pick = () => null;

const visitRows = (rows: readonly VisitReading[], received: Pick, left: Pick): readonly VisitRow[] =>
  rows.map((row) => ({
    element: row.element,
    received_on: row.received_on,
    received: received(row),
    left: left(row),
  }));

function keptPlot(rows: readonly VisitReading[], write: Writer): readonly [readonly VisitRow[], Shown] {
  const deficits = visitRows(
    rows,
    (row) => inPercent(row.deficit_received),
    (row) => inPercent(row.deficit_left),
  );
  if (deficits.some((row) => row.received !== null || row.left !== null)) return [deficits, deficitShown(rows, write)];
  const kept = visitRows(
    rows,
    (row) => inPercent(row.retention_received),
    (row) => inPercent(row.retention_left),
  );
  return [kept, retainedShown(write)];
}

/** Small multiples by element of one pump: what it keeps at low speed, its stacks, its rotation, its phase errors. */
export function SerialPlots({ rows }: { rows: readonly VisitReading[] }): ReactElement {
  const write = useUnits();
  const plots = useMemo(
    () => [
      keptPlot(rows, write),
      [
        visitRows(
          rows,
          (row) => row.stack_after_mm,
          (row) => row.stack_before_mm,
        ),
        stacksShown(write),
      ] as const,
      [visitRows(rows, (row) => row.rotation_used_deg, nothing), rotationShown(rows, write)] as const,
      [visitRows(rows, (row) => row.error_received_deg, nothing), errorShown(rows, write)] as const,
    ],
    [rows, write],
  );
  return (
    <>
      {plots.map(([points, shown]) => (
        <VisitsFrame key={shown.title} rows={points} shown={shown} />
      ))}
    </>
  );
}

const scatterShown = (write: Writer): Shown => ({
  title: 'Light-draw scatter of the pump over the visits',
  method:
    'Standard deviation over the elements in percent of their mean, at the light test point, else at the smallest rack; one figure a run, ' +
    'so one plot for all elements. Worn metering edges or delivery valves raise it; so do barrels out of balance and graduates read coarsely.',
  style: {
    ...percentStyle(write, 'Light-draw scatter'),
    tickFormat: '~f',
    limits: [],
    zero: true,
    head: () => 'All elements',
  },
  labels: [terms.lightScatter, terms.lightScatter],
  words: READ,
  reading: null,
});

function Scatter({ rows }: { rows: readonly VisitScatter[] }): ReactElement {
  const write = useUnits();
  const shown = useMemo(() => scatterShown(write), [write]);
  const points = useMemo(
    () =>
      rows.map((row) => ({
        element: 0,
        received_on: row.received_on,
        received: row.received_percent,
        left: row.left_percent,
      })),
    [rows],
  );
  return <VisitsFrame rows={points} shown={shown} />;
}

/** The pump's light-draw scatter, visit by visit. */
export function ScatterFrame({ serial }: { serial: string }): ReactElement {
  const asked = useAsk(visitScatter, { serial });
  return (
    <Answer asked={asked} none="Its jobs have no light draw.">
      {(rows) => <Scatter rows={rows} />}
    </Answer>
  );
}
