'use client';

import { useEffect, useMemo, useState, type ReactElement } from 'react';
import { guessDelimiter, guessEncoding, type Guess } from '../../../lib/log/mapping/evidence';
import type { LogFile } from '../../../lib/log/inspect';
import { guessHeaderRow } from '../../../lib/log/mapping/headerRow';
import { delimiters, encodings, type Delimiter, type Encoding } from '../../../lib/log/mapping/read';
import { counted } from '../../../lib/words/figures';
import { delimiterWords, encodingWords } from '../../../lib/words/mapping';
import { headOf, headRows, headText, type SheetHead } from '../../_log/mappings';
import { Note } from '../../_shell/Notes';
import { Decide } from './Decide';
import { Pick } from './Pick';
import { PlainTable } from './PlainTable';

interface Props {
  readonly file: LogFile;
  readonly onRead: () => void;
  readonly onClose: () => void;
}

const FIRST_ROWS = 6;

/** Maps one sheet: how its text is written, then what its columns stand for. */
export function MapSheet({ file, onRead, onClose }: Props): ReactElement {
  const [head, setHead] = useState<SheetHead | null>(null);
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    let left = false;
    headOf(file.blob).then(
      (read) => {
        if (!left) setHead(read);
      },
      () => {
        if (!left) setFailed(true);
      },
    );
    return () => {
      left = true;
    };
  }, [file]);
  return (
    <section className="section" aria-labelledby="map">
      <div className="row">
        <h2 id="map">Map the columns of {file.name}</h2>
        <button type="button" onClick={onClose}>
          Close
        </button>
      </div>
      {failed ? <Note warm>The file can&apos;t be read any more. Choose it again.</Note> : null}
      {head === null ? null : <Written file={file} head={head} onRead={onRead} />}
    </section>
  );
}

function Written({ file, head, onRead }: { file: LogFile; head: SheetHead; onRead: () => void }): ReactElement {
  const [guessed] = useState(() => guessEncoding(head.bytes));
  const [encoding, setEncoding] = useState<Encoding>(guessed.value ?? 'utf-8');
  // A sheet of a workbook was written by our own reader: there is nothing to guess.
  const ofWorkbook = file.origin !== undefined && file.origin.sheet !== null;
  const [picked, setPicked] = useState<Delimiter | null>(ofWorkbook ? ',' : null);
  const text = headText(head, encoding);
  const parted: Guess<Delimiter> | null = text.ok ? guessDelimiter(text.text) : null;
  const delimiter = picked ?? parted?.value ?? null;
  const rows = useMemo(
    () => (delimiter === null ? null : headRows(head, encoding, delimiter)),
    [head, encoding, delimiter],
  );
  const [row, setRow] = useState<number | null>(null);
  const found = useMemo(() => (rows?.ok === true ? guessHeaderRow(rows.rows) : null), [rows]);
  const headerRow = row ?? found?.value ?? 1;
  const reason = !text.ok ? text.reason : rows?.ok === false ? rows.reason : null;
  const header = rows?.ok === true ? rows.rows[headerRow - 1] : undefined;
  return (
    <div className="stack">
      {ofWorkbook ? null : (
        <div className="row">
          <Pick
            label="Encoding"
            value={encoding}
            options={encodings}
            words={encodingWords}
            onPick={setEncoding}
            why={guessed.why}
          />
          <Pick
            label="Columns parted by"
            value={delimiter}
            options={delimiters}
            words={delimiterWords}
            onPick={setPicked}
            why={parted?.why ?? ''}
          />
        </div>
      )}
      {guessed.confidence === 'unsure' && encoding === guessed.value ? <Note>{guessed.why}</Note> : null}
      {reason === null ? null : <Note warm>{reason}</Note>}
      {rows?.ok !== true || found === null ? null : (
        <HeaderRow rows={rows.rows} row={headerRow} found={found} onPick={setRow} />
      )}
      {rows?.ok !== true || header === undefined || delimiter === null ? null : (
        <>
          <PlainTable
            caption={`The first rows of the sheet; ${counted(Math.max(0, rows.rows.length - headerRow), 'row')} looked at`}
            header={['Row', ...header]}
            rows={rows.rows
              .slice(headerRow, headerRow + FIRST_ROWS)
              .map((cells, i) => [String(headerRow + 1 + i), ...cells])}
          />
          <Decide
            key={`${encoding} ${delimiter} ${headerRow}`}
            file={file}
            rows={rows.rows}
            cut={head.cut}
            headerRow={headerRow}
            encoding={encoding}
            delimiter={delimiter}
            onRead={onRead}
          />
        </>
      )}
    </div>
  );
}

interface HeaderRowProps {
  readonly rows: readonly (readonly string[])[];
  readonly row: number;
  readonly found: Guess<number>;
  readonly onPick: (row: number) => void;
}

const MOST_HEADER_ROW = 100;

/** The row that the names of the columns stand in, and what stands above it and is not read. */
function HeaderRow({ rows, row, found, onPick }: HeaderRowProps): ReactElement {
  const most = Math.min(MOST_HEADER_ROW, rows.length);
  const above = rows.slice(0, row - 1).map((cells) => cells.filter((cell) => cell.trim() !== '').join(' '));
  return (
    <>
      <label className="field">
        <span>The names of the columns stand in row</span>
        <input
          type="number"
          className="short"
          min={1}
          max={most}
          value={row}
          onChange={(event) => {
            const given = event.currentTarget.valueAsNumber;
            if (Number.isInteger(given) && given >= 1 && given <= most) onPick(given);
          }}
        />
      </label>
      {row === found.value && found.confidence !== 'unsure' ? null : <Note>{found.why}</Note>}
      {above.every((line) => line === '') ? null : (
        <p className="quiet">Above it, and not read: {above.filter((line) => line !== '').join(' / ')}</p>
      )}
    </>
  );
}
