'use client';

import type { ReactElement } from 'react';
import { sources, type Source } from '../../lib/store/questions/sources';
import { count, counted } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { bytesAsText } from './StorageMeter';
import { UndoLoad } from './UndoLoad';

const columns: readonly SheetColumn<Source>[] = [
  { label: terms.file, cell: (row) => row.file },
  { label: terms.table, cell: (row) => row.log_table },
  { label: terms.fileFormat, cell: (row) => row.format },
  { label: terms.fileSize, cell: (row) => bytesAsText(row.bytes), number: true },
  { label: terms.rowsRead, cell: (row) => <data value={row.rows_read}>{count(row.rows_read)}</data>, number: true },
  {
    label: terms.accepted,
    cell: (row) => <data value={row.rows_accepted}>{count(row.rows_accepted)}</data>,
    number: true,
  },
  {
    label: terms.setAside,
    cell: (row) => <data value={row.rows_set_aside}>{count(row.rows_set_aside)}</data>,
    number: true,
  },
  { label: terms.loaded, cell: (row) => row.loaded_at, number: true },
];

/** The files in the log: accepted and set aside make up what was read. */
export function Sources(): ReactElement {
  const asked = useAsk(sources, null);
  return (
    <section className="section" aria-labelledby="files">
      <h2 id="files">Files in the log</h2>
      <Answer asked={asked} none="No file is in the log.">
        {(rows) => {
          const sum = (pick: (row: Source) => number): number => rows.reduce((total, row) => total + pick(row), 0);
          return (
            <>
              <p>
                {counted(rows.length, 'file')}:{' '}
                {counted(
                  sum((row) => row.rows_read),
                  'row',
                )}{' '}
                read, {count(sum((row) => row.rows_accepted))} accepted, {count(sum((row) => row.rows_set_aside))} set
                aside.
              </p>
              <Sheet
                caption="Files in the log"
                hideCaption
                columns={columns}
                rows={rows}
                rowKey={(row) => String(row.source_no)}
              />
              <UndoLoad />
            </>
          );
        }}
      </Answer>
    </section>
  );
}
