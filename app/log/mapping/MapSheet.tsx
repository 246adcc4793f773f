'use client';

import { useEffect, useState, type ReactElement } from 'react';
import { guessDelimiter, guessEncoding, type Guess } from '../../../lib/log/mapping/evidence';
import type { LogFile } from '../../../lib/log/inspect';
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
  const rows = delimiter === null ? null : headRows(head, encoding, delimiter);
  const reason = !text.ok ? text.reason : rows?.ok === false ? rows.reason : null;
  const header = rows?.ok === true ? rows.rows[0] : undefined;
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
      {rows?.ok !== true || header === undefined || delimiter === null ? null : (
        <>
          <PlainTable
            caption={`The first rows of the sheet; ${counted(rows.rows.length - 1, 'row')} looked at`}
            header={header}
            rows={rows.rows.slice(1, 1 + FIRST_ROWS)}
          />
          <Decide
            key={`${encoding} ${delimiter}`}
            file={file}
            header={header}
            rows={rows.rows}
            encoding={encoding}
            delimiter={delimiter}
            onRead={onRead}
          />
        </>
      )}
    </div>
  );
}
