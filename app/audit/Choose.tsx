'use client';

import { useState, type ReactElement } from 'react';
import { MOST_PASTED, pasted, type AuditChange, type AuditChoice, type Draw } from './useAuditChoice';

interface Props {
  readonly choice: AuditChoice;
  readonly set: (change: AuditChange) => void;
}

function LookUp({ choice, set }: Props): ReactElement {
  const [typed, type] = useState(choice.number ?? '');
  return (
    <form
      className="row audit-fields"
      onSubmit={(event) => {
        event.preventDefault();
        set({ number: typed.trim() === '' ? null : typed.trim() });
      }}
    >
      <label className="field">
        <span>Job, serial or claim number</span>
        <input
          type="search"
          value={typed}
          data-set={choice.number !== null}
          onChange={(event) => {
            type(event.currentTarget.value);
            if (event.currentTarget.value === '') set({ number: null });
          }}
        />
      </label>
      <button type="submit">Look up</button>
    </form>
  );
}

function Pasted({ choice, set }: Props): ReactElement {
  const [typed, type] = useState(choice.list ?? '');
  const names = pasted(typed);
  return (
    <details className="block" open={choice.list !== null}>
      <summary>Paste a list of jobs</summary>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          set({ list: names.length === 0 ? null : names.slice(0, MOST_PASTED).join('\n') });
        }}
      >
        <label className="field">
          <span>Job, serial or claim numbers, a line each</span>
          <textarea
            rows={5}
            value={typed}
            onChange={(event) => {
              type(event.currentTarget.value);
            }}
          />
        </label>
        <p className="quiet prose small">
          A serial number stands for all jobs of the pump, a claim number for the jobs whose cards state it.
          {names.length > MOST_PASTED ? ` Only the first ${MOST_PASTED} are taken.` : ''}
        </p>
        <div className="row">
          <button type="submit">Use this list</button>
          {choice.list === null ? null : (
            <button
              type="button"
              onClick={() => {
                type('');
                set({ list: null });
              }}
            >
              Leave the list
            </button>
          )}
        </div>
      </form>
    </details>
  );
}

/** A seed that nobody chose. */
export const freshSeed = (): number => crypto.getRandomValues(new Uint16Array(1))[0] ?? 1;

const drawChoices: readonly (readonly [Draw | '', string])[] = [
  ['', 'Every job'],
  ['risk', 'A sample drawn by stated risks'],
  ['iso', 'A sample drawn by ISO 2859-1'],
];

/** Which jobs the audit is of, beside the filters above. */
export function Choose({ choice, set }: Props): ReactElement {
  return (
    <div className="stack no-print">
      <div className="row audit-fields">
        <label className="audit-check">
          <input
            type="checkbox"
            checked={!choice.all}
            onChange={(event) => {
              set({ all: event.currentTarget.checked ? null : true });
            }}
          />{' '}
          Warranty jobs only
        </label>
        <label className="field">
          <span>Look at</span>
          <select
            value={choice.draw ?? ''}
            data-set={choice.draw !== null}
            onChange={(event) => {
              const draw = drawChoices.find(([value]) => value === event.currentTarget.value)?.[0] ?? '';
              set(draw === '' ? { draw: null } : { draw, seed: choice.draw === null ? freshSeed() : choice.seed });
            }}
          >
            {drawChoices.map(([value, words]) => (
              <option key={value} value={value}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <LookUp key={choice.number} choice={choice} set={set} />
      </div>
      <Pasted key={choice.list} choice={choice} set={set} />
    </div>
  );
}
