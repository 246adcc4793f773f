'use client';

import { createParser, parseAsString, useQueryStates } from 'nuqs';
import type { Filters } from '../../lib/store/filters';

const DAY = /^\d{4}-\d{2}-\d{2}$/;

/** A calendar day as yyyy-mm-dd; anything else in the URL counts as not set. */
const parseAsDay = createParser<string>({
  parse: (text) => {
    const moment = DAY.test(text) ? new Date(`${text}T00:00:00Z`) : null;
    return moment !== null && !Number.isNaN(moment.getTime()) && moment.toISOString().startsWith(text) ? text : null;
  },
  serialize: (value) => value,
});

const parsers = { from: parseAsDay, to: parseAsDay, model: parseAsString, work: parseAsString, bench: parseAsString };

/** The filters as the URL holds them, and how to change some of them. */
export function useFilters(): readonly [Filters, (change: Partial<Filters>) => void] {
  const [filters, set] = useQueryStates(parsers);
  return [filters, (change) => void set(change)];
}

/** A page's address with the filters held and the page's own keys added; empty ones are left out. */
export function address(path: string, filters: Filters, own: Readonly<Record<string, string | number>> = {}): string {
  const search = new URLSearchParams();
  // Whatever else an answer was asked by beside the filters is no part of the address.
  const { from, to, model, work, bench } = filters;
  for (const [key, value] of Object.entries({ from, to, model, work, bench })) {
    if (value !== null) search.set(key, value);
  }
  for (const [key, value] of Object.entries(own)) search.set(key, String(value));
  const query = search.toString();
  return query === '' ? path : `${path}?${query}`;
}

/** Builds addresses that carry the filters now set. */
export function useAddress(): (path: string, own?: Readonly<Record<string, string | number>>) => string {
  const [filters] = useFilters();
  return (path, own) => address(path, filters, own);
}
