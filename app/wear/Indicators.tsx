'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { bandsPlot, FEW_READINGS, type BandRow, type BandStyle } from '../../lib/charts/retention';
import { FEWEST_RUNS } from '../../lib/store/digests';
import type { Filters } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { leakClearanceByModel, leakSlopeByModel } from '../../lib/store/questions/leakByModel';
import {
  retentionBaseline,
  type BaselineBasis,
  type RetentionBaseline,
} from '../../lib/store/questions/retentionBaseline';
import { retentionDeficitByModel } from '../../lib/store/questions/retentionDeficitByModel';
import type { ModelQuarter } from '../../lib/store/questions/visitQuarters';
import { visitScatterByModel } from '../../lib/store/questions/visitScatter';
import { count, counted, percent, quarterName, type Writer } from '../../lib/words/figures';
import type { Unit } from '../../lib/units/units';
import { logLabel, resultLabel, terms, type Label } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';

/** With fewer readings in all, a plot over quarters shows nothing but chance. */
const ENOUGH = 20;

interface Indicator {
  readonly question: Question<Filters, ModelQuarter>;
  readonly title: string;
  /** What is counted in n. */
  readonly reading: string;
  readonly label: Label;
  readonly style: (write: Writer) => BandStyle;
  /** How it is worked out, then what else could cause it. */
  readonly method: string;
  readonly none: string;
}

/** Where hardly anything is delivered, percent of the mean knows no bounds. */
const CUT = 3;
const inPercent = (share: number): number => 100 * share;
/** An axis of a unit, and its figures in the notes. */
const styleIn =
  (text: string, unit: Unit) =>
  (write: Writer): BandStyle => ({
    label: write.axis(text, unit),
    scale: write.scale(unit),
    write: (value) => write.figure(value, unit),
  });
const LEAK_METHOD =
  'Run 0, draws that count. A line q = q0 − slope / speed through two or more speeds at one rack, element by element.';
const NOT_WEAR =
  'A leaking delivery valve, warm or thin fluid, or a rack or speed set unlike in the two draws can raise it too.';

const deficit: Indicator = {
  question: retentionDeficitByModel,
  title: 'Retention deficit as received by model, quarter by quarter',
  reading: 'element reading',
  label: terms.retentionDeficit,
  style: (write) => ({
    label: write.axis('Retention deficit', 'percent'),
    scale: inPercent,
    write: (value) => percent(value, 1),
  }),
  method:
    'Run 0: 1 − retention / baseline; above 0 less is kept than by a sound element. The baselines and what they rest on stand below. ' +
    'A leaking delivery valve, warm or thin fluid, or a graduate that reads wrong at small volumes can raise it too.',
  none: 'No job that matches has low-speed retention as received and a baseline to hold it against.',
};
const slope: Indicator = {
  question: leakSlopeByModel,
  title: 'Leak slope as received by model, quarter by quarter',
  reading: 'leak slope',
  label: { ...resultLabel('leakage', 'slope_mm3_rpm'), unit: null },
  style: styleIn('Leak slope', 'leak_slope'),
  method: `${LEAK_METHOD} Below 0 where more is delivered at low speed. With two speeds the line has nothing to spare: it can't show its own error. ${NOT_WEAR}`,
  none: 'No job that matches was drawn as received at two or more speeds with the same rack.',
};
const clearance: Indicator = {
  question: leakClearanceByModel,
  title: 'Equivalent clearance as received by model, at most',
  reading: 'clearance',
  label: resultLabel('leakage', 'clearance_um'),
  style: styleIn('Equivalent clearance, at most', 'um'),
  method:
    'Run 0: the gap on the radius that would leak as much as the leak slope says, by laminar flow through an even ring. An upper bound: a ' +
    `plunger off centre leaks the same through a smaller gap. 0 where no leakage shows. ${NOT_WEAR}`,
  none: 'No specification of the jobs that match states what a clearance takes (plunger, sealing length, injection duration and pressure, viscosity), or nothing was drawn at two speeds.',
};
const scatter: Indicator = {
  question: visitScatterByModel,
  title: 'Light-draw scatter as received by model, quarter by quarter',
  reading: 'light draw',
  label: terms.lightScatter,
  style: (write) => ({ ...styleIn('Light-draw scatter', 'percent')(write), cut: CUT }),
  method:
    'Run 0: standard deviation over the elements in percent of their mean, at the light test point, else at the smallest rack. Worn ' +
    `metering edges or delivery valves raise it; so do barrels out of balance, nozzles of the bench and graduates read coarsely. Where hardly anything is delivered it knows no bounds: the axis ends at ${CUT} times the largest median at most, bands are cut there, and the table has them whole.`,
  none: 'No job that matches was drawn as received at a light test point.',
};

const columns = (label: Label, style: BandStyle): readonly SheetColumn<BandRow>[] => [
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.name },
  { label: terms.quarter, cell: (row) => quarterName(row.quarter) },
  { label: terms.n, cell: (row) => count(row.n), number: true },
  { label: { ...label, unit: null }, head: 'median', cell: (row) => style.write(row.median), number: true },
  { label: terms.band, cell: (row) => `${style.write(row.p10)} to ${style.write(row.p90)}`, number: true },
];

function BandFrame({ rows, of }: { rows: readonly ModelQuarter[]; of: Indicator }): ReactElement {
  const named = useMemo(() => rows.map((row) => ({ ...row, name: row.pump_model })), [rows]);
  const write = useUnits();
  const style = useMemo(() => of.style(write), [of, write]);
  const draw = useCallback((room: Room) => bandsPlot(named, style, room), [named, style]);
  const [n, jobs] = rows.reduce(([all, from], row) => [all + row.n, from + row.jobs], [0, 0]);
  if (n < ENOUGH)
    return (
      <Note>
        {of.title}: {counted(n, of.reading)} in all, too few to draw (fewer than {ENOUGH}).
      </Note>
    );
  return (
    <Frame
      title={of.title}
      n={`${counted(n, of.reading)} of ${counted(jobs, 'job')}`}
      method={`${of.method} Quarters without readings are bridged by a straight line.`}
      keys={
        <Keys
          marks={[
            ['blue line', 'median'],
            ['band', '10 to 90 %'],
            ...(rows.some((row) => row.n < FEW_READINGS)
              ? ([['open dot', `fewer than ${FEW_READINGS} readings`]] as const)
              : []),
          ]}
        />
      }
      table={
        <Sheet
          caption={of.title}
          hideCaption
          columns={columns(of.label, style)}
          rows={named}
          rowKey={(row) => `${row.name} ${row.quarter}`}
        />
      }
      draw={draw}
    />
  );
}

function Asked({ of }: { of: Indicator }): ReactElement {
  const [filters] = useFilters();
  const asked = useAsk(of.question, filters);
  return (
    <Answer asked={asked} none={of.none}>
      {(rows) => <BandFrame rows={rows} of={of} />}
    </Answer>
  );
}

const basisWords: Readonly<Record<BaselineBasis, string>> = {
  stated: 'stated by the specification',
  'new parts': 'after new plungers and barrels',
  'no baseline': 'no baseline',
};

const baselineColumns: readonly SheetColumn<RetentionBaseline>[] = [
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
  { label: logLabel('test_points', 'test_point'), cell: (row) => row.points },
  { label: { ...terms.baseline, unit: null }, cell: (row) => percent(row.baseline, 1), number: true },
  { label: { ...terms.baseline, unit: null }, head: 'rests on', cell: (row) => basisWords[row.basis] },
  {
    label: terms.baselineRuns,
    cell: (row) => (row.basis === 'stated' ? '–' : count(row.runs)),
    number: true,
  },
  { label: terms.n, head: 'readings held against it', cell: (row) => count(row.n), number: true },
];

function Baselines(): ReactElement {
  const [filters] = useFilters();
  const asked = useAsk(retentionBaseline, filters);
  return (
    <Answer asked={asked} none="Nothing as received to hold against a baseline.">
      {(rows) => (
        <>
          <Sheet
            caption="Retention baselines"
            columns={baselineColumns}
            rows={rows}
            rowKey={(row) => `${row.pump_model} ${row.points} ${row.basis} ${row.baseline ?? ''}`}
          />
          <p className="quiet prose">
            A baseline from new plungers and barrels is the median over those elements as left, in all jobs of the model
            whatever the filters say; with fewer than {FEWEST_RUNS} such runs there is none, and no deficit is given.
          </p>
        </>
      )}
    </Answer>
  );
}

/** Retention deficit, leak slope, clearance and light-draw scatter of the picked jobs as received. */
export function Indicators(): ReactElement {
  return (
    <>
      <Asked of={deficit} />
      <Baselines />
      <Asked of={slope} />
      <Asked of={clearance} />
      <Asked of={scatter} />
    </>
  );
}
