import { useState, type ReactElement } from 'react';
import type { Notation } from '../../../lib/log/mapping/evidence';
import type { LogFile } from '../../../lib/log/inspect';
import { normalName, type Mapping } from '../../../lib/log/mapping/mapping';
import { MOST_MAPPED } from '../../../lib/log/mapping/most';
import { dateOrders, decimalSigns, thousandsMarks, type DateOrder } from '../../../lib/log/mapping/notation';
import { propose, type ProposedTarget } from '../../../lib/log/mapping/propose';
import type { Delimiter, Encoding } from '../../../lib/log/mapping/read';
import { tableNames, type TableName } from '../../../lib/log/table';
import { counted } from '../../../lib/words/figures';
import { dateWords, decimalWords, thousandsWords } from '../../../lib/words/mapping';
import { keptMappings } from '../../_log/mappings';
import { Note } from '../../_shell/Notes';
import { chosenTarget, completed, drafted, linesOf, nameFor, unsureLines, worded, type Line } from './lines';
import { Lines } from './Lines';
import { Pick } from './Pick';
import { PreviewTables } from './PreviewTables';
import { saveMapping } from './saveMapping';
import { useTried } from './useTried';
import { Words } from './Words';

interface Props {
  readonly file: LogFile;
  /** All rows looked at, from the sheet's first. */
  readonly rows: readonly (readonly string[])[];
  /** Whether the sheet goes on after them. */
  readonly cut: boolean;
  /** The row of the headers, as a spreadsheet counts. */
  readonly headerRow: number;
  readonly encoding: Encoding;
  readonly delimiter: Delimiter;
  readonly onRead: () => void;
}

const tableWords = Object.fromEntries(tableNames.map((name) => [name, name])) as Record<TableName, string>;

/** What the sheet does not say by itself is decided here; no mapping is made before. */
export function Decide({ file, rows, cut, headerRow, encoding, delimiter, onRead }: Props): ReactElement {
  const header = rows[headerRow - 1] ?? [];
  const below = rows.slice(headerRow);
  const [proposal, setProposal] = useState(() => propose(header, below));
  const [given, setLines] = useState(() => linesOf(proposal));
  const [without, setWithout] = useState<readonly TableName[]>([]);
  const [dates, setDates] = useState<DateOrder | null>(proposal.dates.value);
  const [notation, setNotation] = useState<Partial<Notation>>(proposal.notation.value ?? {});
  const [name, setName] = useState(nameFor(file.origin?.sheet ?? file.name));
  const [looked, setLooked] = useState(false);
  const targets = proposal.targets.filter(({ table }) => !without.includes(table));
  const lines = completed(given, targets);
  const cellsOf = (name: string): string[] => {
    const place = header.findIndex((each) => normalName(each) === normalName(name));
    return below.map((row) => row[place] ?? '');
  };
  const put = (changed: readonly Line[]): void => {
    setLines(changed);
    setLooked(false);
  };
  const change = (line: Line): void => {
    const before = lines.find((each) => each.id === line.id);
    const moves = before?.to !== line.to || before.source.from !== line.source.from;
    const now = moves && line.source.from === 'header' ? worded(line, cellsOf(line.source.header)) : line;
    put(lines.map((each) => (each.id === line.id ? now : each)));
  };
  const draft = drafted(header, proposal, targets, lines, {
    name,
    encoding,
    delimiter,
    headerRow,
    ...(dates === null ? {} : { dates }),
    ...(notation.decimal === undefined
      ? {}
      : { notation: { decimal: notation.decimal, thousands: notation.thousands ?? 'none' } }),
  });
  const unsure = unsureLines(lines, targets);
  return (
    <>
      <div className="row">
        <Pick
          label="Order of dates"
          value={dates}
          options={dateOrders}
          words={dateWords}
          onPick={setDates}
          why={proposal.dates.why}
        />
        <Pick
          label="Decimal sign"
          value={notation.decimal ?? null}
          options={decimalSigns}
          words={decimalWords}
          onPick={(decimal) => {
            setNotation({ ...notation, decimal });
          }}
          why={proposal.notation.why}
        />
        <Pick
          label="Thousands marked by"
          value={notation.thousands ?? 'none'}
          options={thousandsMarks}
          words={thousandsWords}
          onPick={(thousands) => {
            setNotation({ ...notation, thousands });
          }}
        />
      </div>
      {proposal.targets.length === 0 ? (
        <Pick
          label="A row of the sheet is a row of"
          value={null}
          options={tableNames}
          words={tableWords}
          onPick={(table) => {
            const chosen = { ...proposal, targets: [chosenTarget(table)] };
            setProposal(chosen);
            setLines(linesOf(chosen));
          }}
        />
      ) : (
        <Tables targets={proposal.targets} without={without} onChange={setWithout} />
      )}
      <Lines
        lines={lines}
        targets={targets}
        header={header}
        onChange={change}
        onAsk={(line) => {
          put([...lines, line]);
        }}
        onDrop={(line) => {
          put(lines.filter((each) => each !== line));
        }}
      />
      <Words lines={lines} targets={targets} cellsOf={cellsOf} onChange={change} />
      <label className="field">
        <span>Name of the mapping</span>
        <input
          value={name}
          maxLength={120}
          onChange={(event) => {
            setName(event.currentTarget.value);
          }}
        />
      </label>
      {draft.ok ? (
        <>
          <TriedOut mapping={draft.mapping} file={file} rows={rows} cut={cut} />
          {unsure.length === 0 ? null : (
            <label className="row">
              <input
                type="checkbox"
                checked={looked}
                onChange={(event) => {
                  setLooked(event.currentTarget.checked);
                }}
              />
              I have looked at what is unsure ({counted(unsure.length, 'line')}), and it is right.
            </label>
          )}
          <Finish file={file} mapping={draft.mapping} ready={unsure.length === 0 || looked} onRead={onRead} />
        </>
      ) : (
        <div role="group" aria-label="Still to be decided">
          <h3>Still to be decided</h3>
          <ul>
            {draft.open.map((each) => (
              <li key={each}>{each}</li>
            ))}
          </ul>
        </div>
      )}
    </>
  );
}

function TriedOut({
  mapping,
  file,
  rows,
  cut,
}: Pick<Props, 'file' | 'rows' | 'cut'> & { mapping: Mapping }): ReactElement {
  return <PreviewTables {...useTried(mapping, file.blob, rows, cut)} />;
}

interface TablesProps {
  readonly targets: readonly ProposedTarget[];
  readonly without: readonly TableName[];
  readonly onChange: (without: readonly TableName[]) => void;
}

/** The tables that the sheet gives rows to, each of which may be left out. */
function Tables({ targets, without, onChange }: TablesProps): ReactElement {
  return (
    <fieldset className="row">
      <legend>The sheet gives rows to</legend>
      {targets.map(({ table, shape, rows }) => (
        <label key={table}>
          <input
            type="checkbox"
            checked={!without.includes(table)}
            onChange={(event) => {
              onChange(event.currentTarget.checked ? without.filter((each) => each !== table) : [...without, table]);
            }}
          />{' '}
          {table} ({shape}
          {rows === 'distinct' ? ', once a key' : ''})
        </label>
      ))}
    </fieldset>
  );
}

interface FinishProps {
  readonly file: LogFile;
  readonly mapping: Mapping;
  readonly ready: boolean;
  readonly onRead: () => void;
}

function Finish({ file, mapping, ready, onRead }: FinishProps): ReactElement {
  const large = file.blob.size > MOST_MAPPED.bytes;
  return (
    <>
      {large ? <Note warm>{MOST_MAPPED.reason}</Note> : null}
      <div className="row">
        {large ? null : (
          <button
            type="button"
            className={ready ? 'primary' : undefined}
            disabled={!ready}
            onClick={() => {
              keptMappings.keep(mapping);
              onRead();
            }}
          >
            Read it with this mapping
          </button>
        )}
        <button
          type="button"
          disabled={!ready}
          onClick={() => {
            saveMapping(mapping);
          }}
        >
          Save mapping
        </button>
      </div>
    </>
  );
}
