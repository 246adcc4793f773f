'use client';

import type { ReactElement } from 'react';
import { jobStages, type JobStage } from '../../lib/store/questions/jobStages';
import { resultLabel } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { FirstPass, Verdict } from '../_shell/Verdict';
import { Formulas } from './Formulas';

const columns: readonly SheetColumn<JobStage>[] = [
  { label: resultLabel('stages', 'stage'), cell: (row) => row.test_point ?? row.stage },
  { label: resultLabel('stages', 'runs'), cell: (row) => row.runs, number: true },
  { label: resultLabel('stages', 'first_verdict'), cell: (row) => <Verdict verdict={row.first_verdict} /> },
  { label: resultLabel('stages', 'first_pass'), cell: (row) => <FirstPass answer={row.first_pass} /> },
  {
    label: resultLabel('stages', 'as_left_run'),
    cell: (row) => (row.as_left_run < 0 ? '–' : row.as_left_run),
    number: true,
  },
  { label: resultLabel('stages', 'as_left'), cell: (row) => <Verdict verdict={row.as_left} /> },
  { label: resultLabel('stages', 'changes'), cell: (row) => row.changes, number: true },
  { label: resultLabel('stages', 'needless_changes'), cell: (row) => row.needless_changes, number: true },
];

/** The stages that the specification asks for, and how each came out. */
export function Stages({ id }: { id: string }): ReactElement {
  return (
    <section className="section" aria-labelledby="stages">
      <h2 id="stages">Stages</h2>
      <Answer asked={useAsk(jobStages, { id })} none="The specification asks for no stage that can be judged.">
        {(rows) => (
          <Sheet
            caption="Stages of the job"
            hideCaption
            tall
            columns={columns}
            rows={rows}
            rowKey={(row) => `${row.stage} ${row.test_point ?? ''}`}
          />
        )}
      </Answer>
      <p className="frame-method">
        Run 0 is as received, run 1 the first measurement after assembly, later runs follow corrections. Each stage
        counts its own runs.
      </p>
      <Formulas of={['first_pass']} />
    </section>
  );
}
