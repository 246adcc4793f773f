'use client';

import { useCallback, type ReactElement } from 'react';
import { DegreeWheel, magnification, type ClosureRow } from '../../lib/charts/degreeWheel';
import type { Room } from '../../lib/charts/frame';
import { runErrorsPlot } from '../../lib/charts/runs';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { jobShimPlans } from '../../lib/store/questions/jobShimPlans';
import { jobPhasing, type JobPhasing } from '../../lib/store/questions/jobPhasing';
import { counted } from '../../lib/words/figures';
import { listed } from '../../lib/words/plan';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Sheet } from '../_shell/Sheet';
import { useUnits } from '../_shell/useUnits';
import { Formulas } from './Formulas';
import { runName } from './place';
import { ShimPlans } from './ShimPlans';
import { closureColumns, phasingColumns } from './phasingColumns';

const key = (row: JobPhasing): string => `${row.run} ${row.element}`;

/** States how many closures are out, or which is furthest off. */
function headline(run: number, rows: readonly JobPhasing[]): string {
  const measured = rows.filter((row) => row.error_deg !== null);
  const out = measured.filter((row) => row.verdict === 'out');
  if (measured.length === 0) return `${runName(run)}: no closure measured`;
  if (out.length === 0) return `${runName(run)}: all ${measured.length} closures in tolerance`;
  return `${runName(run)}: ${out.length === 1 ? 'element' : 'elements'} ${listed(out.map((row) => row.element))} out of tolerance`;
}

interface RunProps {
  readonly run: number;
  readonly rows: readonly JobPhasing[];
  readonly card: JobCard;
}

const closuresOf = (rows: readonly JobPhasing[]): readonly ClosureRow[] =>
  rows.flatMap((row) =>
    row.nominal_deg === null
      ? []
      : [
          {
            element: row.element,
            nominal_deg: row.nominal_deg,
            error_deg: row.error_deg,
            verdict: row.verdict,
            uncertainty_deg: row.error_uncertainty_deg,
          },
        ],
  );

/** One factor for the wheels of all runs, so that they can be compared. */
function sharedFactor(rows: readonly JobPhasing[], runs: readonly number[]): number {
  return Math.min(
    ...runs.map((run) => {
      const own = rows.filter((row) => row.run === run);
      return magnification(closuresOf(own), own[0]?.tolerance_deg ?? 0);
    }),
  );
}

function Wheel({ run, rows, card, larger }: RunProps & { larger: number }): ReactElement {
  const write = useUnits();
  const tolerance = rows[0]?.tolerance_deg ?? 0;
  const closures = closuresOf(rows);
  const title = headline(run, rows);
  const n = `${counted(rows.filter((row) => row.error_deg !== null).length, 'closure')} read, ${card.elements} elements`;
  return (
    <Frame
      title={title}
      n={n}
      method={`Closures round the camshaft in the order of firing, the reference at the top. Wedge: tolerance ±${write.figure(tolerance, 'cam_deg')}. Hand: closure read, late is clockwise.${rows.some((row) => row.error_uncertainty_deg !== null) ? ' Arc across the hand: uncertainty of the error.' : ''}`}
      table={<Sheet caption={title} hideCaption tall columns={closureColumns} rows={rows} rowKey={key} />}
      draw={{
        picture: ({ width }: Room) => (
          <DegreeWheel
            rows={closures}
            tolerance={tolerance}
            size={Math.min(width, 400)}
            label={`${title}. ${n}.`}
            larger={larger}
            write={write}
          />
        ),
      }}
    />
  );
}

function RunSheet({ run, rows, card }: RunProps): ReactElement {
  return (
    <div className="bench-sheet">
      <Sheet
        caption={`${runName(run)}: closures, changes needed and changes made.${
          rows.every((row) => row.error_uncertainty_deg === null)
            ? ' No uncertainty is stated for the degree wheel: the verdicts are plain comparisons.'
            : ''
        }`}
        tall
        columns={phasingColumns(card.adjuster)}
        rows={rows}
        rowKey={key}
        mark={(row) => (row.verdict === 'out' ? 'out' : null)}
      />
    </div>
  );
}

function Runs({ rows, card }: { rows: readonly JobPhasing[]; card: JobCard }): ReactElement {
  const { figure } = useUnits();
  const tolerance = rows[0]?.tolerance_deg ?? null;
  const draw = useCallback((room: Room) => runErrorsPlot(rows, tolerance, room), [rows, tolerance]);
  const runs = [...new Set(rows.map((row) => row.run))];
  const measured = runs.filter((run) => rows.some((row) => row.run === run && row.error_deg !== null));
  // As received, first measurement and as left stand side by side; what came between is in the plot and the tables below.
  const told = measured.filter((run, index) => run <= 1 || index === measured.length - 1);
  const larger = sharedFactor(rows, told);
  const { rows: plans } = useAsk(jobShimPlans, { id: card.job_id });
  return (
    <>
      <div className={told.length === 1 ? 'bench-beside' : 'stack'}>
        <div className="pictures">
          {told.map((run) => (
            <Wheel key={run} run={run} rows={rows.filter((row) => row.run === run)} card={card} larger={larger} />
          ))}
        </div>
        <ShimPlans plans={plans ?? []} rows={rows} card={card} />
      </div>
      <Frame
        title="Phase error of each element, run by run"
        n={`${counted(rows.filter((row) => row.error_deg !== null).length, 'closure')} in ${counted(runs.length, 'run')}`}
        method={`Closure read less its nominal angle after the reference; minus is early, plus is late.${
          tolerance === null ? '' : ` Broken lines: tolerance ±${figure(tolerance, 'cam_deg')}.`
        }`}
        keys={
          <Keys
            marks={[
              ['blue dot', 'in'],
              ['diamond', 'out'],
              ['limit', 'tolerance'],
            ]}
          />
        }
        table={
          <Sheet caption="Phase errors, run by run" hideCaption columns={closureColumns} rows={rows} rowKey={key} />
        }
        draw={draw}
      />
      {runs.map((run) => (
        <RunSheet key={run} run={run} rows={rows.filter((row) => row.run === run)} card={card} />
      ))}
    </>
  );
}

/** Port closures of all elements, run by run, with the shim changes they call for and those made. */
export function Phasing({ id, card }: { id: string; card: JobCard }): ReactElement {
  return (
    <section className="section" aria-labelledby="phasing">
      <h2 id="phasing">Phasing and shims</h2>
      <Answer asked={useAsk(jobPhasing, { id })} none="No closure was read in this job.">
        {(rows) => <Runs rows={rows} card={card} />}
      </Answer>
      <Formulas
        of={[
          'nominal_closure',
          'closure',
          'phase_error',
          'phase_tolerance',
          'phase_change',
          'shim_step',
          'screw_turns',
          'change_made',
          'pair_difference',
        ]}
      />
    </section>
  );
}
