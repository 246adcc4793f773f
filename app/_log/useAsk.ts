'use client';

import { useEffect, useEffectEvent, useState, useSyncExternalStore } from 'react';
import { z } from 'zod';
import type { Question, SqlValue } from '../../lib/store/question';
import { allVisible, asWritten } from '../../lib/words/visible';
import { session } from './session';

export interface Answer<Row> {
  /** Null while the answer is not known yet. */
  readonly rows: readonly Row[] | null;
  readonly error: string | null;
}

/** An answer with what it answers; null while it is not known yet. */
export interface Asked<Args, Row> extends Answer<Row> {
  /** What hangs on these alone is drawn once for each answer, and not before at each change of a filter. */
  readonly args: Args | null;
}

interface Kept<Args, Row> extends Asked<Args, Row> {
  /** The question it answers: a page may put another one through the same hook. */
  readonly name: string;
}

const UNKNOWN: Asked<never, never> = { rows: null, error: null, args: null };

/** Asks the log once. */
export async function answer<Args, Row>(
  question: Question<Args, Row>,
  params: readonly SqlValue[],
): Promise<Answer<Row>> {
  // On the browser's own time line, as the phases of a load are.
  const { startTime: start } = performance.mark('ask');
  try {
    const part = question.partOf(params);
    const whole = part === null ? undefined : session.answered(question.sql, part.whole);
    if (part !== null && whole !== undefined) return { rows: question.read(whole).filter(part.holds), error: null };
    return { rows: question.read(await session.ask(question.sql, params)), error: null };
  } catch (error) {
    return { rows: null, error: `${question.name}: ${error instanceof Error ? error.message : String(error)}` };
  } finally {
    performance.measure(`asked:${question.name}`, { start });
  }
}

/**
 * Asks the log a question, and again whenever the log or the arguments change. Until the new answer is there the last one of
 * the same question stays, so that a page does not flicker while a filter is set.
 */
export const useAsk = <Args, Row>(question: Question<Args, Row>, args: Args): Asked<Args, Row> =>
  useAnswer(question, args, useLogVersion(false));

/** The same for a question that also rests on what was added beside the pages (remarks). The others need not be asked again then. */
export const useAskBeside = <Args, Row>(question: Question<Args, Row>, args: Args): Asked<Args, Row> =>
  useAnswer(question, args, useLogVersion(true));

/** Rises with each change of the log that a question rests on; 0 before there is one. */
const useLogVersion = (withBeside: boolean): number =>
  useSyncExternalStore(
    session.subscribe,
    () => {
      const { version, beside } = session.read();
      return version === 0 || !withBeside ? version : version + beside;
    },
    () => 0,
  );

function useAnswer<Args, Row>(question: Question<Args, Row>, args: Args, version: number): Asked<Args, Row> {
  const params = question.params(args);
  const key = JSON.stringify([question.name, version, params]);
  const [kept, keep] = useState<Kept<Args, Row> | null>(null);
  const come = useEffectEvent((asked: string, found: Answer<Row>) => {
    // Between a page's change and what it sets off, an answer of before may still come.
    if (asked !== key) return;
    keep({ name: question.name, rows: allVisible(found.rows), error: found.error, args });
  });
  useEffect(() => {
    if (version === 0) return;
    let current = true;
    const [, , values] = z
      .tuple([z.string(), z.number(), z.array(z.union([z.string(), z.number(), z.boolean(), z.null()]))])
      .parse(JSON.parse(key));
    // A page holds texts as it shows them, and asks by them: they are turned back here.
    const asked = values.map((value) => (typeof value === 'string' ? asWritten(value) : value));
    void answer(question, asked).then((found) => {
      if (current) come(key, found);
    });
    return () => {
      current = false;
    };
  }, [question, key, version]);
  return version === 0 || kept?.name !== question.name ? UNKNOWN : kept;
}
