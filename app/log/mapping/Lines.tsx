import type { ReactElement } from 'react';
import type { ProposedTarget } from '../../../lib/log/mapping/propose';
import { isPerStroke, sourceUnits } from '../../../lib/log/mapping/units';
import { logWords } from '../../../lib/log/mapping/words';
import type { LogTable } from '../../../lib/log/table';
import { tables } from '../../../lib/log/tables';
import { logLabel } from '../../../lib/words/labels';
import { confidenceWords } from '../../../lib/words/mapping';
import {
  absentColumns,
  askedLine,
  columnAt,
  inUnit,
  isAsked,
  isMeasured,
  moved,
  overStrokes,
  saysOf,
  stating,
  takenFrom,
  unitsOf,
  type Line,
} from './lines';
import { PlainTable } from './PlainTable';

interface Props {
  readonly lines: readonly Line[];
  readonly targets: readonly ProposedTarget[];
  /** The sheet's own headers. */
  readonly header: readonly string[];
  readonly onChange: (line: Line) => void;
  readonly onAsk: (line: Line) => void;
  readonly onDrop: (line: Line) => void;
}

/** A line a column of the sheet: what it stands for, its unit, how sure that is and why. */
export function Lines({ lines, targets, header, onChange, onAsk, onDrop }: Props): ReactElement {
  const shown = lines.filter(({ to }) => to === null || targets.some(({ table }) => table === to.table));
  return (
    <div className="stack">
      <PlainTable
        caption="What stands for what"
        header={['In the sheet', 'In the log', 'Unit', 'How sure', 'Why']}
        tall
        prose={4}
        rows={shown.map((line) => [
          isAsked(line) ? (
            <StandsIn key="in" line={line} header={header} onChange={onChange} onDrop={onDrop} />
          ) : (
            saysOf(line)
          ),
          <StandsFor key="for" line={line} targets={targets} onChange={onChange} />,
          <UnitOf key="unit" line={line} onChange={onChange} />,
          line.decided ? (line.to === null ? '–' : 'decided') : confidenceWords[line.confidence],
          line.why,
        ])}
      />
      <Ask absent={absentColumns(lines, targets)} targets={targets} onAsk={onAsk} />
    </div>
  );
}

const SAME = 'same';
const DROPPED = 'dropped';

/** Where a column of the log is had from: one of the sheet's, or one value for all rows. */
function StandsIn({ line, header, onChange, onDrop }: LineProps & Pick<Props, 'header' | 'onDrop'>): ReactElement {
  const places = header.map((name) => name.trim());
  const { source } = line;
  return (
    <select
      aria-label={`${nameOf(line)} comes from`}
      value={source.from === 'header' ? String(places.indexOf(source.header)) : SAME}
      onChange={(event) => {
        const picked = event.currentTarget.value;
        if (picked === DROPPED) onDrop(line);
        else onChange(takenFrom(line, picked === SAME ? null : (places[Number(picked)] ?? null)));
      }}
    >
      <option value={SAME}>the same in every row</option>
      {places.map((name, i) =>
        name === '' ? null : (
          <option key={i} value={i}>
            {name}
          </option>
        ),
      )}
      {columnAt(line.to)?.required === true ? null : <option value={DROPPED}>leave out</option>}
    </select>
  );
}

const nameOf = ({ to }: Line): string => `${to?.table ?? ''}.${to?.column ?? ''}`;

interface AskProps extends Pick<Props, 'targets' | 'onAsk'> {
  readonly absent: readonly string[];
}

/** Columns of the log that no line stands for may be brought in: a job's branch, a draw's fluid temperature. */
function Ask({ absent, targets, onAsk }: AskProps): ReactElement | null {
  if (absent.length === 0) return null;
  return (
    <label className="field">
      <span>Bring in another column of the log</span>
      <select
        value=""
        onChange={(event) => {
          const picked = event.currentTarget.value;
          const target = targets.find(({ table }) => picked.startsWith(`${table}.`));
          if (target !== undefined) onAsk(askedLine(target.table, picked.slice(target.table.length + 1)));
        }}
      >
        <option value="">Choose …</option>
        {absent.map((name) => (
          <option key={name}>{name}</option>
        ))}
      </select>
    </label>
  );
}

interface LineProps {
  readonly line: Line;
  readonly onChange: (line: Line) => void;
}

const LEFT_OUT = 'leave out';

function StandsFor({ line, targets, onChange }: LineProps & Pick<Props, 'targets'>): ReactElement {
  const { to } = line;
  if (line.source.from === 'constant') {
    return (
      <label className="row">
        <code>{nameOf(line)}</code>
        <Stated line={line} value={line.source.value} onChange={onChange} />
      </label>
    );
  }
  if (to !== null && (line.source.from === 'element' || isAsked(line))) return <code>{nameOf(line)}</code>;
  const named = targets.map(({ table }): LogTable => tables[table]);
  return (
    <select
      aria-label={`${saysOf(line)} stands for`}
      value={to === null ? LEFT_OUT : `${to.table}.${to.column}`}
      onChange={(event) => {
        const picked = event.currentTarget.value;
        const table = named.find(({ name }) => picked.startsWith(`${name}.`));
        onChange(
          moved(line, table === undefined ? null : { table: table.name, column: picked.slice(table.name.length + 1) }),
        );
      }}
    >
      <option value={LEFT_OUT}>leave out</option>
      {named.map((table) => (
        <optgroup key={table.name} label={table.name}>
          {table.columns.map((column) => (
            <option
              key={column.name}
              value={`${table.name}.${column.name}`}
              title={logLabel(table.name, column.name).text}
            >
              {`${table.name}.${column.name}`}
            </option>
          ))}
        </optgroup>
      ))}
    </select>
  );
}

/** A value for all rows, as the log writes it. */
function Stated({ line, value, onChange }: LineProps & { readonly value: string }): ReactElement {
  const column = columnAt(line.to);
  const label = `${nameOf(line)} in every row`;
  const set = (text: string): void => {
    onChange(stating(line, text));
  };
  const choices = logWords(column);
  if (choices.length > 0) {
    return (
      <select
        aria-label={label}
        value={value}
        onChange={(event) => {
          set(event.currentTarget.value);
        }}
      >
        <option value="">not stated</option>
        {choices.map((choice) => (
          <option key={choice}>{choice}</option>
        ))}
      </select>
    );
  }
  return (
    <input
      aria-label={label}
      value={value}
      title={column?.meaning}
      onChange={(event) => {
        set(event.currentTarget.value);
      }}
    />
  );
}

function UnitOf({ line, onChange }: LineProps): ReactElement | string {
  const units = unitsOf(line);
  if (units.length === 0 || !isMeasured(line.source)) return '–';
  const stated = line.source.unit;
  const perStroke = isPerStroke(columnAt(line.to)?.unit ?? null);
  const select = (
    <select
      aria-label={`Unit of ${saysOf(line)}`}
      value={stated ?? ''}
      onChange={(event) => {
        const picked = units.find((unit) => unit === event.currentTarget.value);
        if (picked !== undefined) onChange(inUnit(line, picked));
      }}
    >
      {stated === undefined ? <option value="">Choose …</option> : null}
      {units.map((unit) => (
        <option key={unit} value={unit}>
          {sourceUnits[unit].symbol === '' ? unit : sourceUnits[unit].symbol}
        </option>
      ))}
    </select>
  );
  return perStroke ? (
    <span className="row">
      {select}
      <Over line={line} strokes={line.source.per_strokes ?? 1} onChange={onChange} />
    </span>
  ) : (
    select
  );
}

const MOST_STROKES = 100_000;

/** Over how many strokes the sheet states a delivery that the log wants for one. */
function Over({ line, strokes, onChange }: LineProps & { readonly strokes: number }): ReactElement {
  return (
    <label className="row">
      over
      <input
        type="number"
        className="short"
        aria-label={`Strokes of ${saysOf(line)}`}
        min={1}
        max={MOST_STROKES}
        value={strokes}
        onChange={(event) => {
          const given = event.currentTarget.valueAsNumber;
          if (Number.isInteger(given) && given >= 1 && given <= MOST_STROKES) onChange(overStrokes(line, given));
        }}
      />
      strokes
    </label>
  );
}
