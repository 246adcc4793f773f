import { readdirSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { filesIn } from '../../lib/headless/folder';
import { openLog, type HeadlessLog } from '../../lib/headless/log';
import { UNFILTERED, type Filters } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';

type AnyFilters = Filters & { readonly months: number; readonly element: null };
const ALL: AnyFilters = { ...UNFILTERED, months: 9, element: null };
const isQuestion = z.custom<Question<AnyFilters, unknown>>(
  (value) => typeof value === 'object' && value !== null && 'partOf' in value,
);

/** Every question of the shop that says its answer for one model is a part of the answer for all. */
async function questionsInParts(): Promise<Question<AnyFilters, unknown>[]> {
  const files = readdirSync('lib/store/questions').map((name) => `../../lib/store/questions/${name}`);
  const modules = await Promise.all(files.map((path) => import(path) as Promise<Record<string, unknown>>));
  return modules
    .flatMap((module) => Object.values(module))
    .flatMap((value) => isQuestion.safeParse(value).data ?? [])
    .filter((question) => question.partOf(['', '', 'a model', '', '']) !== null);
}
const questions = await questionsInParts();

/** The same but for the last places of sums, which the database adds up in no fixed order. */
const rounded = (rows: readonly unknown[]): unknown =>
  JSON.parse(JSON.stringify(rows), (_, value: unknown) =>
    typeof value === 'number' ? Number(value.toPrecision(9)) : value,
  );

describe('an answer for one model, out of the answer for all', () => {
  let log: HeadlessLog;
  let models: string[];
  beforeAll(async () => {
    log = await openLog(await filesIn('data-demo/log'), '2026-01-01 08:00:00');
    const rows = await log.db.rows('select distinct pump_model as model from job_cards order by all');
    models = z
      .array(z.object({ model: z.string() }))
      .parse(rows)
      .map(({ model }) => model);
  }, 120_000);
  afterAll(() => log.db.close());

  it('is told by the questions whose rows are told model by model', () => {
    expect(questions.map(({ name }) => name)).toEqual(
      expect.arrayContaining(['firstPassByModel', 'phaseErrorsByModel', 'secondDraws', 'roomLeft', 'earlyReturns']),
    );
    expect(questions.every(({ partOf }) => partOf(['', '', '', '', '']) === null)).toBe(true);
  });

  it.each(questions.map((question) => [question.name, question] as const))('%s', async (_, question) => {
    const read = async (params: Parameters<typeof question.partOf>[0]) =>
      question.read(await log.db.rows(question.sql, [...params]));
    let told = 0;
    for (const filters of [ALL, { ...ALL, from: '2020-01-01', to: '2023-06-30', bench: 'B2' }]) {
      for (const model of [...models, 'no such model']) {
        const params = question.params({ ...filters, model });
        const part = question.partOf(params);
        if (part === null) throw new Error('No part of any answer');
        expect(part.whole).toEqual(question.params(filters));
        const own = await read(params);
        expect(rounded((await read(part.whole)).filter(part.holds))).toEqual(rounded(own));
        told += own.length;
      }
    }
    expect(told).toBeGreaterThan(0);
  });
});
