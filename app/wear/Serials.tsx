'use client';

import { useId, useState, type ReactElement } from 'react';
import type { Filters } from '../../lib/store/filters';
import type { ReturningSerial } from '../../lib/store/questions/returningSerials';
import { counted, day, percent } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { RowLink } from '../_shell/RowLink';
import { LongSheet, type SheetColumn } from '../_shell/Sheet';
import { address } from '../_shell/useFilters';

/** How many are offered while typing. */
const OFFERED = 500;

interface PickerProps {
  readonly serials: readonly ReturningSerial[];
  readonly serial: string | null;
  readonly onPick: (serial: string | null) => void;
}

/** A search box for one serial number; any serial may be typed, those with two visits or more are offered. */
export function SerialPicker({ serials, serial, onPick }: PickerProps): ReactElement {
  const id = useId();
  const [typed, setTyped] = useState<string | null>(null);
  const pick = (): void => {
    const text = (typed ?? serial ?? '').trim();
    onPick(text === '' ? null : text);
    setTyped(null);
  };
  return (
    <form
      className="row"
      role="search"
      onSubmit={(event) => {
        event.preventDefault();
        pick();
      }}
    >
      <label className="field">
        <span>One pump by its serial number</span>
        <input
          type="search"
          list={id}
          autoComplete="off"
          value={typed ?? serial ?? ''}
          onChange={(event) => {
            setTyped(event.currentTarget.value);
          }}
        />
      </label>
      <datalist id={id}>
        {serials.slice(0, OFFERED).map((row) => (
          <option key={row.pump_serial} value={row.pump_serial}>
            {`${row.pump_model}, ${counted(row.jobs, 'job')}`}
          </option>
        ))}
      </datalist>
      <button type="submit" style={{ alignSelf: 'end' }}>
        Show
      </button>
      {serial === null ? null : (
        <button
          type="button"
          style={{ alignSelf: 'end' }}
          onClick={() => {
            setTyped(null);
            onPick(null);
          }}
        >
          All pumps
        </button>
      )}
    </form>
  );
}

interface SerialTableProps {
  readonly rows: readonly ReturningSerial[];
  /** Those of the rows. */
  readonly filters: Filters;
}

/** Serial numbers with two jobs or more, the lowest retention as received last time first. */
export function SerialTable({ rows, filters }: SerialTableProps): ReactElement {
  const columns: readonly SheetColumn<ReturningSerial>[] = [
    {
      label: logLabel('jobs', 'pump_serial'),
      cell: (row) => (
        <RowLink href={address('/wear/', filters, { serial: row.pump_serial })}>{row.pump_serial}</RowLink>
      ),
    },
    { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
    { label: { ...terms.visit, text: 'Jobs' }, cell: (row) => row.jobs, number: true },
    { label: logLabel('jobs', 'received_on'), head: 'First received', cell: (row) => day(row.first_day), number: true },
    { label: logLabel('jobs', 'received_on'), head: 'Last received', cell: (row) => day(row.last_day), number: true },
    {
      label: { ...terms.retention, unit: null },
      head: 'Lowest retention as last received',
      cell: (row) => percent(row.retention, 1),
      number: true,
    },
  ];
  return (
    <LongSheet
      caption={`${counted(rows.length, 'pump')} with two jobs or more, lowest retention first`}
      columns={columns}
      rows={rows}
      rowKey={(row) => row.pump_serial}
    />
  );
}
