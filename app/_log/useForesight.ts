'use client';

import { useEffect } from 'react';
import { session } from './session';

interface Foreseen {
  /** Part of the program that a choice on this page brings in. */
  readonly part?: () => Promise<unknown>;
  readonly questions: readonly { readonly sql: string }[];
}

/** One after the other: a choice that is made meanwhile waits for one plan at most. */
async function planned({ questions }: Foreseen): Promise<void> {
  const { asking } = await session.workers();
  for (const { sql } of questions) await asking.foresee(sql);
}

/**
 * Gets ready what the likely next choice on a page needs, once the page has its own answers: its part of the program, and the plans of
 * its questions, which take about as long as their answers.
 */
export function useForesight(answered: boolean, foreseen: Foreseen): void {
  useEffect(() => {
    if (!answered) return;
    // What can't be got ready now is told when it is needed.
    void foreseen.part?.().catch(() => undefined);
    void planned(foreseen).catch(() => undefined);
  }, [answered, foreseen]);
}
