'use client';

import type { ReactElement } from 'react';
import { jobExcluded, type JobExcluded } from '../../lib/store/questions/jobExcluded';
import { figure } from '../../lib/words/figures';
import { resultLabel, terms, windowUnits } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

const columns: readonly SheetColumn<JobExcluded>[] = [
  { label: { ...resultLabel('excluded', 'point'), text: 'Test point' }, cell: (row) => row.test_point ?? '–' },
  { label: resultLabel('excluded', 'run'), cell: (row) => row.run, number: true },
  { label: resultLabel('excluded', 'element'), cell: (row) => row.element, number: true },
  { label: resultLabel('excluded', 'repeat'), cell: (row) => row.repeat, number: true },
  { label: resultLabel('excluded', 'reason'), cell: (row) => row.reason },
  {
    label: resultLabel('excluded', 'reading'),
    cell: (row) => figure(row.reading, windowUnits[row.reason]),
    number: true,
  },
  { label: resultLabel('excluded', 'low'), cell: (row) => figure(row.low, windowUnits[row.reason]), number: true },
  { label: resultLabel('excluded', 'high'), cell: (row) => figure(row.high, windowUnits[row.reason]), number: true },
  { label: terms.readFrom, cell: (row) => `${row.file}, row ${row.row_no}`, source: true },
];

/** Draws kept but left out of means and verdicts, with the window each missed. */
export function Excluded({ id }: { id: string }): ReactElement {
  return (
    <section className="section" aria-labelledby="excluded">
      <h2 id="excluded">Draws that do not count</h2>
      <Answer asked={useAsk(jobExcluded, { id })} none="No draw of this job was left out.">
        {(rows) => (
          <Sheet
            caption={`${rows.length === 1 ? 'One reason' : `${rows.length} reasons`} why draws do not count`}
            columns={columns}
            rows={rows}
            rowKey={(row) => `${row.test_point ?? ''} ${row.run} ${row.element} ${row.repeat} ${row.reason}`}
          />
        )}
      </Answer>
    </section>
  );
}
