import { expect, test, vi } from 'vitest';
import { z } from 'zod';
import { Answering } from '../../app/_log/answering';
import { question } from '../../lib/store/question';

const rows = (n: number, from = 0): { n: number }[] => Array.from({ length: n }, (_, k) => ({ n: from + k }));

test('what is asked twice, at once or later, is asked of the log once', async () => {
  const answering = new Answering();
  const ask = vi.fn(() => Promise.resolve(rows(2)));
  const [one, same] = await Promise.all([answering.of(1, true, 'jobs', ask), answering.of(1, true, 'jobs', ask)]);
  const later = await answering.of(1, true, 'jobs', ask);
  expect(ask).toHaveBeenCalledTimes(1);
  expect(later).toEqual(rows(2));
  expect([same, later]).toEqual([one, one]);
});

test('a changed log is asked anew, and an answer of the log before it is not told for it', async () => {
  const answering = new Answering();
  let answerOld: (old: unknown[]) => void = () => undefined;
  const old = answering.of(1, true, 'jobs', () => new Promise((resolve) => (answerOld = resolve)));
  expect(await answering.of(2, true, 'jobs', () => Promise.resolve(rows(3)))).toHaveLength(3);
  answerOld(rows(1));
  expect(await old).toHaveLength(1);
  expect(await answering.of(2, true, 'jobs', () => Promise.reject(new Error('asked again')))).toHaveLength(3);
  expect(await answering.of(3, true, 'jobs', () => Promise.resolve([]))).toEqual([]);
});

test('while the log is worked out each answer is asked for anew, and none is kept', async () => {
  const answering = new Answering();
  const ask = vi.fn(() => Promise.resolve(rows(ask.mock.calls.length)));
  expect(await answering.of(1, false, 'jobs', ask)).toHaveLength(1);
  expect(await answering.of(1, false, 'jobs', ask)).toHaveLength(2);
  expect(await answering.of(1, true, 'jobs', ask)).toHaveLength(3);
});

test('an answer that failed is not kept', async () => {
  const answering = new Answering();
  await expect(answering.of(1, true, 'jobs', () => Promise.reject(new Error('no memory')))).rejects.toThrow(
    'no memory',
  );
  expect(await answering.of(1, true, 'jobs', () => Promise.resolve(rows(1)))).toHaveLength(1);
});

test('what is kept is bounded: what was read longest ago goes first', async () => {
  const answering = new Answering();
  const ask = vi.fn(() => Promise.resolve(rows(25_000)));
  for (const key of ['first', 'second', 'first', 'third']) await answering.of(1, true, key, ask);
  expect(ask).toHaveBeenCalledTimes(3);
  await answering.of(1, true, 'first', ask);
  expect(ask).toHaveBeenCalledTimes(3);
  await answering.of(1, true, 'second', ask);
  expect(ask).toHaveBeenCalledTimes(4);
});

test('answers of no rows do not gather without end', async () => {
  const answering = new Answering();
  const ask = vi.fn(() => Promise.resolve([]));
  for (let k = 0; k < 2000; k += 1) await answering.of(1, true, `job ${k}`, ask);
  await answering.of(1, true, 'job 0', ask);
  expect(ask).toHaveBeenCalledTimes(2001);
});

test('what is known is told without asking, of this state of the log only, and counts as read', async () => {
  const answering = new Answering();
  const ask = vi.fn(() => Promise.resolve(rows(25_000)));
  expect(answering.known(1, 'first')).toBeUndefined();
  const first = await answering.of(1, true, 'first', ask);
  await answering.of(1, true, 'second', ask);
  expect(answering.known(1, 'first')).toBe(first);
  await answering.of(1, true, 'third', ask);
  expect([answering.known(1, 'first'), answering.known(1, 'second')]).toEqual([first, undefined]);
  expect(answering.known(2, 'first')).toBeUndefined();
  expect(answering.known(1, 'first')).toBeUndefined();
});

test('the rows of one answer are worked out once, and a row of another shape is refused', () => {
  const work = vi.fn((row: { n: number }) => ({ twice: 2 * row.n }));
  const asked = question('twice', z.object({ n: z.number() }).transform(work), () => [], 'select 1 as n');
  const answer = rows(3, 1);
  expect(asked.read(answer)).toEqual([{ twice: 2 }, { twice: 4 }, { twice: 6 }]);
  expect(asked.read(answer)).toBe(asked.read(answer));
  expect(work).toHaveBeenCalledTimes(3);
  expect(() => asked.read([{ n: 'three' }])).toThrow(/expected number/);
});
