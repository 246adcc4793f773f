'use client';

import Link from 'next/link';
import { parseAsString, useQueryState } from 'nuqs';
import { useMemo, type ReactElement } from 'react';
import { recordHtml, recordName } from '../../lib/report/html';
import { recordHash, recordJson, type AuditRecord } from '../../lib/report/record';
import { sheetOf } from '../../lib/report/sheet/sheet';
import { pageStyle, sheetStyle } from '../../lib/report/sheet/style';
import { visible } from '../../lib/words/visible';
import { Note } from '../_shell/Notes';
import { save } from '../_shell/save';
import { useAddress } from '../_shell/useFilters';
import './record.css';
import { SheetView } from './SheetView';
import { useRecord } from './useRecord';

function Tools({ id, record }: { id: string; record: AuditRecord }): ReactElement {
  const to = useAddress();
  const keep = (text: string, ending: 'html' | 'json', type: string) => (): void => {
    save(new Blob([text], { type }), recordName(record, ending));
  };
  return (
    <div className="stack no-print">
      <p className="lead">
        What the log says of this job, what follows from it, and what stands against it, on one sheet. The saved file
        opens without a network and can be held against the log again: <code>npm run verify -- FILE FOLDER</code>.
      </p>
      <div className="row">
        <button
          type="button"
          className="primary"
          onClick={() => {
            window.print();
          }}
        >
          Print
        </button>
        <button type="button" onClick={keep(recordHtml(record), 'html', 'text/html;charset=utf-8')}>
          Save HTML
        </button>
        <button type="button" onClick={keep(recordJson(record), 'json', 'application/json')}>
          Save JSON
        </button>
        <Link href={to('/job/', { id })}>Back to the job</Link>
      </div>
    </div>
  );
}

function Shown({ id, record }: { id: string; record: AuditRecord }): ReactElement {
  const hash = useMemo(() => recordHash(record), [record]);
  const sheet = useMemo(() => sheetOf(record, hash), [record, hash]);
  return (
    <div className="stack">
      <Tools id={id} record={record} />
      <style>{`${sheetStyle}${pageStyle(visible(id), hash)}`}</style>
      <div className="record-paper">
        <SheetView sheet={sheet} />
      </div>
    </div>
  );
}

function OfJob({ id }: { id: string }): ReactElement {
  const to = useAddress();
  const answer = useRecord(id);
  if (answer === null) {
    return (
      <p className="quiet" role="status" aria-busy="true">
        Putting the record together …
      </p>
    );
  }
  if (answer.record !== null) return <Shown id={id} record={answer.record} />;
  return (
    <div className="stack">
      <h1>No record</h1>
      <Note warm={answer.error !== null}>
        {answer.error ?? `There is no job ${id} in this log.`} <Link href={to('/jobs/')}>Choose one from the jobs</Link>
        .
      </Note>
    </div>
  );
}

/** The audit record of one job, as it is printed and saved. */
export function RecordPage(): ReactElement {
  const to = useAddress();
  const [id] = useQueryState('id', parseAsString);
  if (id !== null) return <OfJob key={id} id={id} />;
  return (
    <div className="stack">
      <h1>No record</h1>
      <Note>
        No job is named in the address. <Link href={to('/jobs/')}>Choose one from the jobs</Link>.
      </Note>
    </div>
  );
}
