'use client';

import { parseAsString, parseAsStringLiteral, useQueryStates } from 'nuqs';
import type { ReactElement } from 'react';
import { refusedFiles } from '../../lib/store/questions/refusedFiles';
import { setAsideCounts, setAsideKind, type SetAsideKind } from '../../lib/store/questions/setAsideCounts';
import { LISTED_ROWS, setAsideRows, type SetAsideRow } from '../../lib/store/questions/setAsideRows';
import { count, counted } from '../../lib/words/figures';
import { setAsideKinds, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useTechniciansLeftOut } from '../_shell/technicians';
import { AsideSums } from './AsideSums';
import { ToMend } from './ToMend';

const columns: readonly SheetColumn<SetAsideRow>[] = [
  { label: terms.file, cell: (row) => row.file },
  { label: terms.fileRow, cell: (row) => row.row_no, number: true },
  { label: terms.column, cell: (row) => row.column_name ?? '–' },
  { label: terms.cellValue, prose: true, cell: (row) => row.value ?? '–' },
  { label: terms.why, cell: (row) => setAsideKinds[row.kind].text },
  { label: terms.reason, prose: true, cell: (row) => row.reason },
];

/** A faulty cell may hold a technician's name. */
const unnamed = (row: SetAsideRow): SetAsideRow => (row.column_name === 'technician' ? { ...row, value: null } : row);

const asKind = (text: string): SetAsideKind | null => setAsideKind.options.find((kind) => kind === text) ?? null;
const parsers = { kind: parseAsStringLiteral(setAsideKind.options), file: parseAsString };

function Refused(): ReactElement | null {
  const { rows } = useAsk(refusedFiles, null);
  if (rows === null || rows.length === 0) return null;
  return (
    <div className="stack">
      <h3>Refused files</h3>
      {rows.map((row) => (
        <Note key={`${row.file} ${row.reason}`} warm>
          <b>{row.file}</b>: {row.reason}
        </Note>
      ))}
    </div>
  );
}

/** Every row that is not in the log, with its reason; narrowed by kind and file in the URL. */
export function SetAside(): ReactElement {
  const [picked, set] = useQueryStates(parsers);
  const counts = useAsk(setAsideCounts, null);
  const asked = useAsk(setAsideRows, picked);
  const leftOut = useTechniciansLeftOut();
  const total = (counts.rows ?? [])
    .filter(
      (row) => (picked.kind === null || row.kind === picked.kind) && (picked.file === null || row.file === picked.file),
    )
    .reduce((sum, row) => sum + row.rows, 0);
  const files = [...new Set((counts.rows ?? []).map((row) => row.file))].toSorted();
  return (
    <section className="section" aria-labelledby="aside">
      <h2 id="aside">Rows set aside</h2>
      <AsideSums />
      <ToMend />
      <Refused />
      <h3>All of them, with the reason</h3>
      <div className="row">
        <label className="field">
          <span>Why</span>
          <select
            value={picked.kind ?? ''}
            data-set={picked.kind !== null}
            onChange={(event) => {
              void set({ kind: asKind(event.currentTarget.value) });
            }}
          >
            <option value="">Any reason</option>
            {setAsideKind.options.map((kind) => (
              <option key={kind} value={kind}>
                {setAsideKinds[kind].text}
              </option>
            ))}
          </select>
        </label>
        <label className="field">
          <span>File</span>
          <select
            value={picked.file ?? ''}
            data-set={picked.file !== null}
            onChange={(event) => {
              void set({ file: event.currentTarget.value === '' ? null : event.currentTarget.value });
            }}
          >
            <option value="">Any file</option>
            {files.map((file) => (
              <option key={file} value={file}>
                {file}
              </option>
            ))}
          </select>
        </label>
      </div>
      {picked.kind === null ? null : <p className="quiet">{setAsideKinds[picked.kind].meaning}</p>}
      <Answer asked={asked} none="No row was set aside here.">
        {(rows) => (
          <Sheet
            caption={
              rows.length === LISTED_ROWS
                ? `The first ${count(LISTED_ROWS)} of ${counted(total, 'row')}`
                : counted(total, 'row')
            }
            columns={columns}
            rows={leftOut ? rows.map(unnamed) : rows}
            rowKey={(row) => `${row.file} ${row.row_no} ${row.column_name ?? ''} ${row.reason}`}
          />
        )}
      </Answer>
    </section>
  );
}
