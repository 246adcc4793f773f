'use client';

import { parseAsInteger, useQueryState } from 'nuqs';
import type { ReactElement } from 'react';
import { counted } from '../../lib/words/figures';

const USUAL = 6;
const LONGEST = 60;
const OFFERED = [1, 2, 3, 6, 9, 12, 18, 24] as const;

/** Within how many months a return is early, as the address holds it; the usual six where it holds no such number. */
export function useEarlyMonths(): readonly [number, (months: number) => void] {
  const [held, set] = useQueryState('months', parseAsInteger);
  const months = held !== null && held >= 1 && held <= LONGEST ? held : USUAL;
  return [months, (chosen) => void set(chosen === USUAL ? null : chosen)];
}

/** Lets the reader choose it. */
export function EarlyMonths(): ReactElement {
  const [months, choose] = useEarlyMonths();
  const choices = [...new Set([...OFFERED, months])].toSorted((a, b) => a - b);
  return (
    <label className="field" style={{ justifySelf: 'start' }}>
      <span>An early return is one within</span>
      <select
        value={months}
        data-set={months !== USUAL}
        onChange={(event) => {
          choose(Number(event.currentTarget.value));
        }}
      >
        {choices.map((choice) => (
          <option key={choice} value={choice}>
            {counted(choice, 'month')}
          </option>
        ))}
      </select>
    </label>
  );
}
