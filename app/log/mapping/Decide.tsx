import { useState, type ReactElement } from 'react';
import type { Notation } from '../../../lib/log/mapping/evidence';
import type { LogFile } from '../../../lib/log/inspect';
import type { Mapping } from '../../../lib/log/mapping/mapping';
import { MOST_MAPPED } from '../../../lib/log/mapping/most';
import { dateOrders, decimalSigns, thousandsMarks, type DateOrder } from '../../../lib/log/mapping/notation';
import { propose, type ProposedTarget } from '../../../lib/log/mapping/propose';
import type { Delimiter, Encoding } from '../../../lib/log/mapping/read';
import { tableNames, type TableName } from '../../../lib/log/table';
import { counted } from '../../../lib/words/figures';
import { dateWords, decimalWords, thousandsWords } from '../../../lib/words/mapping';
import { keptMappings } from '../../_log/mappings';
import { Note } from '../../_shell/Notes';
import { chosenTarget, drafted, linesOf, nameFor, unsureLines, type Line } from './lines';
import { Lines } from './Lines';
import { Pick } from './Pick';
import { previewOf } from './preview';
import { PreviewTables } from './PreviewTables';
import { saveMapping } from './saveMapping';

interface Props {
  readonly file: LogFile;
  readonly header: readonly string[];
  /** All rows looked at, the header first. */
  readonly rows: readonly (readonly string[])[];
  readonly encoding: Encoding;
  readonly delimiter: Delimiter;
  readonly onRead: () => void;
}

const tableWords = Object.fromEntries(tableNames.map((name) => [name, name])) as Record<TableName, string>;

/** What the sheet does not say by itself is decided here; no mapping is made before. */
export function Decide({ file, header, rows, encoding, delimiter, onRead }: Props): ReactElement {
  const [proposal, setProposal] = useState(() => propose(header, rows.slice(1)));
  const [lines, setLines] = useState(() => linesOf(proposal));
  const [without, setWithout] = useState<readonly TableName[]>([]);
  const [dates, setDates] = useState<DateOrder | null>(proposal.dates.value);
  const [notation, setNotation] = useState<Partial<Notation>>(proposal.notation.value ?? {});
  const [name, setName] = useState(nameFor(file.origin?.sheet ?? file.name));
  const [looked, setLooked] = useState(false);
  const targets = proposal.targets.filter(({ table }) => !without.includes(table));
  const change = (line: Line): void => {
    setLines(lines.map((each) => (each.id === line.id ? line : each)));
    setLooked(false);
  };
  const draft = drafted(header, proposal, targets, lines, {
    name,
    encoding,
    delimiter,
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
      <Lines lines={lines} targets={targets} onChange={change} />
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
          <PreviewTables preview={previewOf(draft.mapping, rows)} />
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
      {targets.map(({ table, shape }) => (
        <label key={table}>
          <input
            type="checkbox"
            checked={!without.includes(table)}
            onChange={(event) => {
              onChange(event.currentTarget.checked ? without.filter((each) => each !== table) : [...without, table]);
            }}
          />{' '}
          {table} ({shape})
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
