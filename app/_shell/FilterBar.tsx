'use client';

import { usePathname } from 'next/navigation';
import type { ReactElement } from 'react';
import { UNFILTERED } from '../../lib/store/filters';
import { filterChoices, type FilterChoice } from '../../lib/store/questions/filterChoices';
import { count } from '../../lib/words/figures';
import { logLabel } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { useLog } from '../_log/useLog';
import { useFilters } from './useFilters';

interface PickProps {
  readonly name: string;
  readonly all: string;
  readonly value: string | null;
  readonly choices: readonly FilterChoice[];
  readonly onPick: (value: string | null) => void;
}

function Pick({ name, all, value, choices, onPick }: PickProps): ReactElement {
  // A value that the log does not have still shows, so that an empty page explains itself.
  const unknown = value !== null && !choices.some((choice) => choice.value === value);
  return (
    <label className="field">
      <span>{name}</span>
      <select
        value={value ?? ''}
        data-set={value !== null}
        onChange={(event) => {
          onPick(event.currentTarget.value === '' ? null : event.currentTarget.value);
        }}
      >
        <option value="">{all}</option>
        {unknown ? <option value={value}>{value} (not in this log)</option> : null}
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.value} ({count(choice.jobs)})
          </option>
        ))}
      </select>
    </label>
  );
}

function Day({
  name,
  value,
  onPick,
}: {
  name: string;
  value: string | null;
  onPick: (v: string | null) => void;
}): ReactElement {
  return (
    <label className="field">
      <span>{name}</span>
      <input
        type="date"
        value={value ?? ''}
        data-set={value !== null}
        onChange={(event) => {
          onPick(event.currentTarget.value === '' ? null : event.currentTarget.value);
        }}
      />
    </label>
  );
}

function Filled(): ReactElement {
  const [filters, set] = useFilters();
  const { rows } = useAsk(filterChoices, null);
  const of = (kind: FilterChoice['kind']): readonly FilterChoice[] =>
    (rows ?? []).filter((choice) => choice.kind === kind);
  const any = Object.values(filters).some((value) => value !== null);
  return (
    <form
      className="filters"
      aria-label="Which jobs"
      onSubmit={(event) => {
        event.preventDefault();
      }}
    >
      <div className="filters-inner">
        <Day
          name="Received from"
          value={filters.from}
          onPick={(from) => {
            set({ from });
          }}
        />
        <Day
          name="Received to"
          value={filters.to}
          onPick={(to) => {
            set({ to });
          }}
        />
        <Pick
          name={logLabel('jobs', 'pump_model').text}
          all="All models"
          value={filters.model}
          choices={of('model')}
          onPick={(model) => {
            set({ model });
          }}
        />
        <Pick
          name={logLabel('jobs', 'work_type').text}
          all="All work"
          value={filters.work}
          choices={of('work')}
          onPick={(work) => {
            set({ work });
          }}
        />
        <Pick
          name={logLabel('jobs', 'bench_id').text}
          all="All benches"
          value={filters.bench}
          choices={of('bench')}
          onPick={(bench) => {
            set({ bench });
          }}
        />
        {any ? (
          <button
            type="button"
            onClick={() => {
              set(UNFILTERED);
            }}
          >
            All jobs
          </button>
        ) : null}
      </div>
    </form>
  );
}

/** Which jobs the pages are about; there once a log is open. */
export function FilterBar(): ReactElement | null {
  const { state } = useLog();
  const path = usePathname();
  // One job, and what the log holds, are the same whatever is picked; a quote rests on the whole log.
  const narrows = !/^\/(job|log|record|quote)(\/|$)/.test(path);
  return (state.phase === 'open' || state.phase === 'asking') && narrows ? <Filled /> : null;
}
