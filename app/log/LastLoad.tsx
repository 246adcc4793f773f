'use client';

import type { ReactElement } from 'react';
import { remark } from '../../lib/log/sentences';
import { count, counted } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { visible } from '../../lib/words/visible';
import type { Arrived } from '../_log/incoming';
import type { LoadReport } from '../_log/useLog';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

type FileLine = LoadReport['files'][number];

const columns: readonly SheetColumn<FileLine>[] = [
  { label: terms.file, cell: (row) => visible(row.file) },
  { label: terms.table, cell: (row) => row.table ?? '–' },
  { label: terms.rowsRead, cell: (row) => count(row.read), number: true },
  { label: terms.accepted, cell: (row) => count(row.accepted), number: true },
  { label: terms.setAside, cell: (row) => count(row.setAside), number: true },
  { label: terms.remark, prose: true, cell: (row) => visible(row.refused ?? row.note ?? '') },
];

interface Props {
  readonly report: LoadReport;
  readonly onResume: () => void;
  readonly onMap: (file: Arrived) => void;
}

/** Sheets of one workbook are no files of their own. */
function readSays({ files, workbooks, sheets }: LoadReport['counts']): string {
  const books = `${counted(workbooks, 'workbook')}, ${counted(sheets, 'sheet')}`;
  if (workbooks === 0) return counted(files, 'file');
  return files === 0 ? books : `${counted(files, 'file')} and ${books}`;
}

/** What came of the files last dropped or chosen. */
export function LastLoad({ report, onResume, onMap }: Props): ReactElement {
  const refused = report.files.filter((file) => file.refused !== null);
  const kept = report.files.some((file) => file.note?.endsWith(remark.kept) === true);
  return (
    <section className="section" aria-labelledby="last-load">
      <h2 id="last-load">Last load</h2>
      <p role="status">
        {kept ? 'The log was kept as it was: nothing of these files was taken in. ' : null}
        {kept ? counted(0, 'file') : readSays(report.counts)} read, {count(report.counts.refused)} refused.{' '}
        {counted(report.recalculated, 'job')} recalculated, {count(report.unchanged)} unchanged.
      </p>
      {report.cancelled ? (
        <div className="row">
          <Note warm>The calculation was called off before all jobs were done. The pages show those that were.</Note>
          <button type="button" onClick={onResume}>
            Go on calculating
          </button>
        </div>
      ) : null}
      {refused.map((file) => (
        <Note key={report.files.indexOf(file)} warm>
          <b>{visible(file.file)}</b>: {visible(file.refused ?? '')}
        </Note>
      ))}
      {report.foreign.length === 0 ? null : (
        <>
          <p>
            {report.foreign.length === 1
              ? 'A sheet has columns of its own.'
              : `${count(report.foreign.length)} sheets have columns of their own.`}{' '}
            Say once what they stand for, and files like it are read from then on.
          </p>
          <div className="row">
            {report.foreign.map((file, i) => (
              <button
                key={i}
                type="button"
                onClick={() => {
                  onMap(file);
                }}
              >
                Map its columns: {visible(file.file.name)}
              </button>
            ))}
          </div>
        </>
      )}
      {report.files.length === 0 ? null : (
        <Sheet
          caption="Files of the last load"
          hideCaption
          columns={columns}
          rows={report.files}
          rowKey={(row) => String(report.files.indexOf(row))}
          mark={(row) => (row.refused === null ? null : 'out')}
        />
      )}
    </section>
  );
}
