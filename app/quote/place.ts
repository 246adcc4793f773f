'use client';

import { createParser, useQueryStates, type inferParserType } from 'nuqs';
import { z } from 'zod';
import type { QuoteAsked } from '../../lib/store/quoteDesk';
import { asWritten } from '../../lib/words/visible';

/** What stands on the counter, as the address holds it: a quote can be linked. Figures are in the log's units. */

/** A key of the address that holds what the schema takes; anything else in the address counts as not set. */
const key = <T extends string | number>(schema: z.ZodType<T>) =>
  createParser<T>({ parse: (text) => schema.safeParse(text).data ?? null, serialize: String });
const text = (most: number) => key(z.string().trim().min(1).max(most));
const figure = (low: number, high: number) =>
  key(z.string().trim().min(1).transform(Number).pipe(z.number().min(low).max(high)));

const keys = {
  serial: text(60),
  pump: text(60),
  job: text(60),
  complaint: text(200),
  hours: figure(0, 500_000),
  branch: text(60),
  /** Retention deficit [%]. */
  deficit: figure(-100, 100),
  /** Leak slope [mm³/stroke × rpm]. */
  leak: figure(-1e7, 1e7),
  /** Largest phase error [° cam]. */
  phase: figure(0, 90),
  /** Scatter at the light draw [%]. */
  scatter: figure(0, 100),
};
export type Counter = inferParserType<typeof keys>;

export const useCounter = () => useQueryStates(keys);

/** What is asked of the engine, in the log's own words; null until a model is named. */
export function askedOf(counter: Counter, work: string | null): QuoteAsked | null {
  const { pump, complaint, branch, hours, deficit, leak, phase, scatter } = counter;
  if (pump === null || work === null) return null;
  return {
    model: asWritten(pump),
    work: asWritten(work),
    complaint: complaint === null ? null : asWritten(complaint),
    branch: branch === null ? null : asWritten(branch),
    engineHours: hours,
    phasingDeg: phase,
    scatterPercent: scatter,
    retentionDeficit: deficit === null ? null : deficit / 100,
    leakSlope: leak,
  };
}
