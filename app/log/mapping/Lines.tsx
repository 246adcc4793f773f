import type { ReactElement } from 'react';
import type { ProposedTarget } from '../../../lib/log/mapping/propose';
import { sourceUnits } from '../../../lib/log/mapping/units';
import type { LogTable } from '../../../lib/log/table';
import { tables } from '../../../lib/log/tables';
import { logLabel } from '../../../lib/words/labels';
import { confidenceWords } from '../../../lib/words/mapping';
import { columnAt, inUnit, isMeasured, moved, saysOf, stating, unitsOf, type Line } from './lines';
import { PlainTable } from './PlainTable';

interface Props {
  readonly lines: readonly Line[];
  readonly targets: readonly ProposedTarget[];
  readonly onChange: (line: Line) => void;
}

/** A line a column of the sheet: what it stands for, its unit, how sure that is and why. */
export function Lines({ lines, targets, onChange }: Props): ReactElement {
  const shown = lines.filter(({ to }) => to === null || targets.some(({ table }) => table === to.table));
  return (
    <PlainTable
      caption="What stands for what"
      header={['In the sheet', 'In the log', 'Unit', 'How sure', 'Why']}
      tall
      prose={4}
      rows={shown.map((line) => [
        saysOf(line),
        <StandsFor key="for" line={line} targets={targets} onChange={onChange} />,
        <UnitOf key="unit" line={line} onChange={onChange} />,
        line.decided ? (line.to === null ? '–' : 'decided') : confidenceWords[line.confidence],
        line.why,
      ])}
    />
  );
}

interface LineProps {
  readonly line: Line;
  readonly onChange: (line: Line) => void;
}

const LEFT_OUT = 'leave out';

function StandsFor({ line, targets, onChange }: LineProps & Pick<Props, 'targets'>): ReactElement {
  const { to } = line;
  if (to !== null && line.source.from === 'element') return <code>{`${to.table}.${to.column}`}</code>;
  if (line.source.from === 'constant') return <Stated line={line} value={line.source.value} onChange={onChange} />;
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
  const label = `${line.to?.table ?? ''}.${line.to?.column ?? ''} in every row`;
  const set = (text: string): void => {
    onChange(stating(line, text));
  };
  if (column?.choices != null) {
    return (
      <select
        aria-label={label}
        value={value}
        onChange={(event) => {
          set(event.currentTarget.value);
        }}
      >
        <option value="">not stated</option>
        {column.choices.map((choice) => (
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
  return (
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
}
