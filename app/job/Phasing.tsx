'use client';

import { useCallback, type ReactElement } from 'react';
import { DegreeWheel, type ClosureRow } from '../../lib/charts/degreeWheel';
import type { Room } from '../../lib/charts/frame';
import { runErrorsPlot } from '../../lib/charts/runs';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { jobPhasing, type JobPhasing } from '../../lib/store/questions/jobPhasing';
import { counted, figure } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { ShimCaution } from '../_shell/Notes';
import { Sheet } from '../_shell/Sheet';
import { Formulas } from './Formulas';
import { closureColumns, phasingColumns } from './phasingColumns';

const runName = (run: number): string =>
  run === 0 ? 'Run 0, as received' : run === 1 ? 'Run 1, first measurement' : `Run ${run}, after correction`;

const key = (row: JobPhasing): string => `${row.run} ${row.element}`;

/** States how many closures are out, or which is furthest off. */
function headline(run: number, rows: readonly JobPhasing[]): string {
  const measured = rows.filter((row) => row.error_deg !== null);
  const out = measured.filter((row) => row.verdict === 'out');
  if (measured.length === 0) return `${runName(run)}: no closure measured`;
  if (out.length === 0) return `${runName(run)}: all ${measured.length} closures in tolerance`;
  return `${runName(run)}: ${out.map((row) => `element ${row.element}`).join(', ')} out of tolerance`;
}

interface RunProps {
  readonly run: number;
  readonly rows: readonly JobPhasing[];
  readonly card: JobCard;
}

function Wheel({ run, rows, card }: RunProps): ReactElement {
  const tolerance = rows[0]?.tolerance_deg ?? 0;
  const closures = rows.flatMap((row): ClosureRow[] =>
    row.nominal_deg === null
      ? []
      : [{ element: row.element, nominal_deg: row.nominal_deg, error_deg: row.error_deg, verdict: row.verdict }],
  );
  const title = headline(run, rows);
  const n = `${counted(rows.filter((row) => row.error_deg !== null).length, 'closure')} read, ${card.elements} elements`;
  return (
    <Frame
      title={title}
      n={n}
      method={`Closures round the camshaft in the order of firing, the reference at the top. Wedge: tolerance ±${figure(tolerance, 'cam_deg')}. Hand: closure read, late is clockwise.`}
      table={<Sheet caption={title} hideCaption tall columns={closureColumns} rows={rows} rowKey={key} />}
      draw={{
        picture: ({ width }: Room) => (
          <DegreeWheel rows={closures} tolerance={tolerance} size={Math.min(width, 400)} label={`${title}. ${n}.`} />
        ),
      }}
    />
  );
}

function RunSheet({ run, rows, card }: RunProps): ReactElement {
  return (
    <Sheet
      caption={`${runName(run)}: closures, changes needed and changes made`}
      tall
      columns={phasingColumns(card.adjuster)}
      rows={rows}
      rowKey={key}
      mark={(row) => (row.verdict === 'out' ? 'out' : null)}
    />
  );
}

function Runs({ rows, card }: { rows: readonly JobPhasing[]; card: JobCard }): ReactElement {
  const tolerance = rows[0]?.tolerance_deg ?? null;
  const draw = useCallback((room: Room) => runErrorsPlot(rows, tolerance, room), [rows, tolerance]);
  const runs = [...new Set(rows.map((row) => row.run))];
  return (
    <>
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
      <div className="pictures">
        {runs.map((run) => (
          <Wheel key={run} run={run} rows={rows.filter((row) => row.run === run)} card={card} />
        ))}
      </div>
      <ShimCaution />
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
