'use client';

import type { ReactElement } from 'react';
import { jobBarrels, type JobBarrel } from '../../lib/store/questions/jobBarrels';
import { jobParts, type JobPart } from '../../lib/store/questions/jobParts';
import { logLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

interface Sourced {
  readonly file: string;
  readonly row_no: number;
}
const readFrom = {
  label: terms.readFrom,
  cell: (row: Sourced) => `${row.file}, row ${row.row_no}`,
  source: true,
} as const;

const barrelColumns: readonly SheetColumn<JobBarrel>[] = [
  { label: logLabel('barrels', 'run'), cell: (row) => row.run, number: true },
  { label: logLabel('barrels', 'element'), cell: (row) => row.element, number: true },
  {
    label: logLabel('barrels', 'rotation_deg'),
    cell: (row) => <Figure value={row.rotation_deg} unit="deg" sign bare />,
    number: true,
  },
  { label: logLabel('barrels', 'scribed'), cell: (row) => (row.scribed === null ? '–' : row.scribed ? 'yes' : 'no') },
  readFrom,
];
const partColumns: readonly SheetColumn<JobPart>[] = [
  { label: logLabel('parts', 'part'), prose: true, cell: (row) => row.part },
  { label: logLabel('parts', 'element'), cell: (row) => row.element ?? '–', number: true },
  { label: logLabel('parts', 'quantity'), cell: (row) => row.quantity, number: true },
  readFrom,
];

/** What else the job wrote down: barrels turned, parts. */
export function OtherReadings({ id }: { id: string }): ReactElement {
  return (
    <>
      <section className="section" aria-labelledby="turned">
        <h2 id="turned">Barrels turned</h2>
        <Answer asked={useAsk(jobBarrels, { id })} none="No barrel was turned in this job.">
          {(rows) => (
            <Sheet
              caption="Barrels turned; plus raises delivery"
              columns={barrelColumns}
              rows={rows}
              rowKey={(row) => `${row.run} ${row.element}`}
            />
          )}
        </Answer>
      </section>
      <section className="section" aria-labelledby="parts">
        <h2 id="parts">Parts fitted</h2>
        <Answer asked={useAsk(jobParts, { id })} none="No part was fitted in this job.">
          {(rows) => (
            <Sheet
              caption="Parts fitted"
              hideCaption
              columns={partColumns}
              rows={rows}
              rowKey={(row) => `${row.file} ${row.row_no}`}
            />
          )}
        </Answer>
      </section>
    </>
  );
}
