'use client';

import type { ReactElement } from 'react';
import { jobBarrels, type JobBarrel } from '../../lib/store/questions/jobBarrels';
import { jobGovernor, type JobGovernor } from '../../lib/store/questions/jobGovernor';
import { jobParts, type JobPart } from '../../lib/store/questions/jobParts';
import { jobRetention, type JobRetention } from '../../lib/store/questions/jobRetention';
import { percent } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
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

const retentionColumns: readonly SheetColumn<JobRetention>[] = [
  { label: resultLabel('retention', 'run'), cell: (row) => row.run, number: true },
  { label: resultLabel('retention', 'element'), cell: (row) => row.element, number: true },
  {
    label: { ...resultLabel('retention', 'low_point'), text: 'Low-speed point' },
    cell: (row) => row.low_test_point ?? '–',
  },
  {
    label: { ...resultLabel('retention', 'rated_point'), text: 'Rated-speed point' },
    cell: (row) => row.rated_test_point ?? '–',
  },
  {
    label: resultLabel('retention', 'low_mm3'),
    cell: (row) => <Figure value={row.low_mm3} unit="mm3_per_stroke" bare />,
    number: true,
  },
  {
    label: resultLabel('retention', 'rated_mm3'),
    cell: (row) => <Figure value={row.rated_mm3} unit="mm3_per_stroke" bare />,
    number: true,
  },
  { label: resultLabel('retention', 'retention'), cell: (row) => percent(row.retention, 1), number: true },
];
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
const governorColumns: readonly SheetColumn<JobGovernor>[] = [
  { label: logLabel('governor', 'check_id'), cell: (row) => row.check_id },
  { label: logLabel('governor', 'run'), cell: (row) => row.run, number: true },
  {
    label: logLabel('governor', 'speed_rpm'),
    cell: (row) => <Figure value={row.speed_rpm} unit="rpm" bare />,
    number: true,
  },
  {
    label: logLabel('governor', 'rack_mm'),
    cell: (row) => <Figure value={row.rack_mm} unit="mm" bare />,
    number: true,
  },
  {
    label: logLabel('governor', 'boost_kpa'),
    cell: (row) => <Figure value={row.boost_kpa} unit="kpa" bare />,
    number: true,
  },
  { label: logLabel('governor', 'lever'), cell: (row) => row.lever ?? '–' },
  readFrom,
];
const partColumns: readonly SheetColumn<JobPart>[] = [
  { label: logLabel('parts', 'part'), prose: true, cell: (row) => row.part },
  { label: logLabel('parts', 'element'), cell: (row) => row.element ?? '–', number: true },
  { label: logLabel('parts', 'quantity'), cell: (row) => row.quantity, number: true },
  readFrom,
];

/** What else the job wrote down: retention, barrels turned, governor, parts. */
export function OtherReadings({ id }: { id: string }): ReactElement {
  const governor = useAsk(jobGovernor, { id });
  return (
    <>
      <section className="section" aria-labelledby="retention">
        <h2 id="retention">Low-speed retention</h2>
        <Answer asked={useAsk(jobRetention, { id })} none="No draws at low and at rated speed with the same rack.">
          {(rows) => (
            <Sheet
              caption="Low-speed retention"
              hideCaption
              columns={retentionColumns}
              rows={rows}
              rowKey={(row) => `${row.run} ${row.element} ${row.low_test_point ?? ''} ${row.rated_test_point ?? ''}`}
            />
          )}
        </Answer>
      </section>
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
      <section className="section" aria-labelledby="governor">
        <h2 id="governor">Governor and accessories</h2>
        {governor.rows === null || governor.rows.length === 0 ? null : (
          <p>
            These readings are listed as they were written down. They are not judged yet and do not touch any verdict.
          </p>
        )}
        <Answer asked={governor} none="No governor reading was taken in this job.">
          {(rows) => (
            <Sheet
              caption="Governor readings"
              hideCaption
              columns={governorColumns}
              rows={rows}
              rowKey={(row) => `${row.file} ${row.row_no}`}
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
