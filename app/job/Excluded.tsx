'use client';

import type { ReactElement } from 'react';
import { jobExcluded, type JobExcluded } from '../../lib/store/questions/jobExcluded';
import { resultLabel, terms, windowUnits } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Written } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

/** The reading beside the window it missed. */
const beside = (pick: 'value' | 'low' | 'high') =>
  function Beside(row: JobExcluded): ReactElement {
    return (
      <Written>{(write) => write.beside(row.reading, [row.low, row.high], windowUnits[row.reason])[pick]}</Written>
    );
  };

const columns: readonly SheetColumn<JobExcluded>[] = [
  { label: { ...resultLabel('excluded', 'point'), text: 'Test point' }, cell: (row) => row.test_point ?? '–' },
  { label: resultLabel('excluded', 'run'), cell: (row) => row.run, number: true },
  { label: resultLabel('excluded', 'element'), cell: (row) => row.element, number: true },
  { label: resultLabel('excluded', 'repeat'), cell: (row) => row.repeat, number: true },
  { label: resultLabel('excluded', 'reason'), cell: (row) => row.reason },
  {
    label: resultLabel('excluded', 'reading'),
    cell: beside('value'),
    number: true,
  },
  { label: resultLabel('excluded', 'low'), cell: beside('low'), number: true },
  { label: resultLabel('excluded', 'high'), cell: beside('high'), number: true },
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
