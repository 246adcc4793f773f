'use client';

import { useEffect } from 'react';
import { session } from './session';

interface Foreseen {
  /** Part of the program that a choice on this page brings in. */
  readonly part?: () => Promise<unknown>;
  readonly questions: readonly { readonly sql: string }[];
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
    void session.workers().then(
      ({ asking }) => Promise.allSettled(foreseen.questions.map(({ sql }) => asking.foresee(sql))),
      () => undefined,
    );
  }, [answered, foreseen]);
}
