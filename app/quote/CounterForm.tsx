'use client';

import { useRef, useState, type ReactElement } from 'react';
import { filterChoices } from '../../lib/store/questions/filterChoices';
import { lastVisit } from '../../lib/store/questions/lastVisit';
import { quoteChoices } from '../../lib/store/questions/quoteChoices';
import type { Unit } from '../../lib/units/units';
import { readTyped, typed } from '../../lib/units/typed';
import { counted, day } from '../../lib/words/figures';
import { logLabel } from '../../lib/words/labels';
import { asWritten, visible } from '../../lib/words/visible';
import { answer, useAsk } from '../_log/useAsk';
import { Note } from '../_shell/Notes';
import { useAddress } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import { amounts, NumberField, TextField } from './fields';
import { useCounter, type Counter } from './place';
import Link from 'next/link';

interface PickProps {
  readonly name: string;
  readonly none: string | null;
  readonly value: string | null;
  readonly choices: readonly string[];
  readonly onPick: (value: string | null) => void;
}

function Pick({ name, none, value, choices, onPick }: PickProps): ReactElement {
  const unknown = value !== null && !choices.includes(value);
  return (
    <label className="field">
      <span>{name}</span>
      <select
        value={value ?? ''}
        onChange={(event) => {
          onPick(event.currentTarget.value === '' ? null : event.currentTarget.value);
        }}
      >
        {none === null ? null : <option value="">{none}</option>}
        {unknown ? <option value={value}>{value} (not in this log)</option> : null}
        {choices.map((choice) => (
          <option key={choice} value={choice}>
            {choice}
          </option>
        ))}
      </select>
    </label>
  );
}

/** What the log knows of the pump with this serial number. */
function Known({ serial }: { serial: string }): ReactElement | null {
  const to = useAddress();
  const { rows } = useAsk(lastVisit, { serial });
  if (rows === null) return null;
  const [visit] = rows;
  if (visit === undefined)
    return (
      <Note>
        The log has no pump with the serial number {serial}. Choose its model; the rest is told from its like.
      </Note>
    );
  const { job_id, pump_model, received_on, finished_on, work_type, complaint, engine_hours, hours_on, visits } = visit;
  return (
    <p className="quiet prose">
      {pump_model}, {counted(visits, 'visit')}; the last on {day(received_on)}: {work_type}
      {complaint === null ? '' : `, “${complaint}”`} (<Link href={to('/job/', { id: job_id })}>{job_id}</Link>
      {finished_on === null ? ', still open' : ''}).
      {engine_hours === null
        ? ''
        : ` Engine hours ${amounts.number(engine_hours)} as of ${day(hours_on)}: write what the meter says now.`}
      {rows.length > 1 ? ' Other pumps differ from it in capitals only.' : ''}
    </p>
  );
}

interface ReadProps {
  readonly name: string;
  readonly unit: Unit;
  readonly value: number | null;
  readonly low: number;
  readonly high: number;
  readonly onValue: (value: number | null) => void;
}

/** A figure as received, typed in the units that the reader chose. */
function ReadField({ name, unit, value, low, high, onValue }: ReadProps): ReactElement {
  const { display, axis } = useUnits();
  return (
    <NumberField
      name={axis(name, unit)}
      value={value}
      low={low}
      high={high}
      onValue={onValue}
      form={{
        write: (shown) => typed(shown, unit, display),
        read: (text) => readTyped(text.replace(',', '.'), unit, display),
      }}
    />
  );
}

function AsReceived({ counter, set }: { counter: Counter; set: (change: Partial<Counter>) => void }): ReactElement {
  const { display } = useUnits();
  const any = [counter.phase, counter.scatter, counter.deficit, counter.leak].some((value) => value !== null);
  const [open, setOpen] = useState(any);
  return (
    <details
      className="block"
      open={open}
      onToggle={(event) => {
        setOpen(event.currentTarget.open);
      }}
    >
      <summary>As received, where it was on the bench already</summary>
      <div className="row" key={`${display.system} ${display.angles}`}>
        <ReadField
          {...{ name: 'Largest phase error', unit: 'cam_deg', low: 0, high: 90 }}
          value={counter.phase}
          onValue={(phase) => {
            set({ phase });
          }}
        />
        <ReadField
          {...{ name: 'Light-draw scatter', unit: 'percent', low: 0, high: 100 }}
          value={counter.scatter}
          onValue={(scatter) => {
            set({ scatter });
          }}
        />
        <ReadField
          {...{ name: 'Retention deficit', unit: 'percent', low: -100, high: 100 }}
          value={counter.deficit}
          onValue={(deficit) => {
            set({ deficit });
          }}
        />
        <ReadField
          {...{ name: 'Leak slope', unit: 'leak_slope', low: -1e7, high: 1e7 }}
          value={counter.leak}
          onValue={(leak) => {
            set({ leak });
          }}
        />
      </div>
    </details>
  );
}

interface Props {
  /** The work that is quoted where the address names none. */
  readonly work: string | null;
}

/** What stands on the counter. The serial number fills in what the log knows. */
export function CounterForm({ work }: Props): ReactElement {
  const [counter, setCounter] = useCounter();
  const { rows: picks } = useAsk(filterChoices, null);
  const { rows: choices } = useAsk(quoteChoices, null);
  const latest = useRef(0);
  const set = (change: Partial<Counter>): void => void setCounter(change);
  const of = (kind: 'model' | 'work'): string[] =>
    (picks ?? []).filter((pick) => pick.kind === kind).map(({ value }) => value);
  const known = (kind: 'complaint' | 'branch'): string[] =>
    (choices ?? []).filter((choice) => choice.kind === kind).map(({ value }) => value);

  const fill = async (serial: string): Promise<void> => {
    set({ serial });
    const turn = (latest.current += 1);
    const { rows } = await answer(lastVisit, [asWritten(serial)]);
    const [visit] = rows ?? [];
    if (visit === undefined || latest.current !== turn) return;
    set({
      serial: visible(visit.pump_serial),
      pump: visible(visit.pump_model),
      hours: visit.engine_hours,
      branch: visit.branch === null ? null : visible(visit.branch),
    });
  };

  return (
    <form
      className="stack no-print"
      aria-label="On the counter"
      onSubmit={(event) => {
        event.preventDefault();
      }}
    >
      <div className="row quote-form">
        <TextField
          name={logLabel('jobs', 'pump_serial').text}
          value={counter.serial}
          most={60}
          size={14}
          onDone={(serial) => {
            if (serial === null) set({ serial });
            else void fill(serial);
          }}
        />
        <Pick
          name={logLabel('jobs', 'pump_model').text}
          none="Choose a model"
          value={counter.pump}
          choices={of('model')}
          onPick={(pump) => {
            set({ pump });
          }}
        />
        <Pick
          name={logLabel('jobs', 'work_type').text}
          none={null}
          value={work}
          choices={of('work')}
          onPick={(job) => {
            set({ job });
          }}
        />
        <TextField
          name={logLabel('jobs', 'complaint').text}
          value={counter.complaint}
          most={200}
          size={22}
          choices={known('complaint')}
          onDone={(complaint) => {
            set({ complaint });
          }}
        />
        <NumberField
          name={logLabel('jobs', 'engine_hours').text}
          value={counter.hours}
          high={500_000}
          decimals={0}
          onValue={(hours) => {
            set({ hours });
          }}
        />
        <Pick
          name={logLabel('jobs', 'branch').text}
          none="Any branch"
          value={counter.branch}
          choices={known('branch')}
          onPick={(branch) => {
            set({ branch });
          }}
        />
      </div>
      {counter.serial === null ? null : <Known serial={counter.serial} />}
      <AsReceived counter={counter} set={set} />
    </form>
  );
}
