'use client';

import { useEffect } from 'react';
import type { Filters } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { session } from '../_log/session';
import { useFilters } from './useFilters';

interface Foreseen {
  /** Part of the program that a choice of a model on this page brings in. */
  readonly part?: () => Promise<unknown>;
  /** What is asked of one model then. */
  readonly questions: readonly Pick<Question<Filters, never>, 'sql' | 'params'>[];
}

/** One after the other, while it is called for: a choice that is made meanwhile waits for one of them at most. */
async function rehearsed({ questions }: Foreseen, filters: Filters, isCalledFor: () => boolean): Promise<void> {
  const { asking } = await session.workers();
  for (const { sql, params } of questions) if (isCalledFor()) await asking.foresee(sql, params(filters));
}

/**
 * Gets ready what the likely next choice on a page needs, once the page has its own answers: its part of the program, and its questions,
 * planned and asked of one model. To plan takes about as long as to answer, and the browser compiles what a question goes through
 * in the database only once it has gone through it.
 * @param models those that can be chosen
 */
export function useForesight(answered: boolean, foreseen: Foreseen, models: readonly string[]): void {
  const [{ from, to, model, work, bench }] = useFilters();
  const one = model === null ? models[0] : undefined;
  useEffect(() => {
    if (!answered || one === undefined) return;
    let current = true;
    // What can't be got ready now is told when it is needed.
    void foreseen.part?.().catch(() => undefined);
    void rehearsed(foreseen, { from, to, model: one, work, bench }, () => current).catch(() => undefined);
    return () => {
      current = false;
    };
  }, [answered, foreseen, one, from, to, work, bench]);
}
