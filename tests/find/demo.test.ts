import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { truthsFile } from '../../data-demo/truths';
import { filesIn } from '../../lib/headless/folder';
import { openLog } from '../../lib/headless/log';
import type { Found, Measure, SearchAnswer } from '../../lib/find/types';
import { DirectSearcher, searchLog } from '../../lib/store/search';
import { headline } from '../../lib/words/faults';
import { inLogUnits } from '../../lib/words/figures';

/** The demo log's planted truths, as the search finds them from what the database and the engine answer. */

const { truths } = truthsFile.parse(JSON.parse(readFileSync('data-demo/truths.json', 'utf8')));
let withTechnicians: SearchAnswer;
let without: SearchAnswer;

beforeAll(async () => {
  const log = await openLog(await filesIn('data-demo/log'), '2026-01-01 00:00:00');
  withTechnicians = await searchLog(log.db, new DirectSearcher(), { technicians: true });
  without = await searchLog(log.db, new DirectSearcher(), { technicians: false });
  await log.db.close();
});

const DAY_MS = 86_400_000;
const daysApart = (one: string | null | undefined, other: string | null | undefined): number =>
  Math.abs(Date.parse(String(one)) - Date.parse(String(other))) / DAY_MS;

interface Planted {
  readonly kind: (typeof truths)[number]['kind'];
  readonly measure: Measure;
  /** The columns of the truth's subject that name the levels, in the order of the finding. */
  readonly by: readonly string[];
  /** Ends that are to be told, to about so many days: readings scatter, findings of the engine are clear. */
  readonly ends?: number;
}

const planted: readonly Planted[] = [
  { kind: 'thick_shim_batch', measure: 'shim does what is marked', by: ['batch'] },
  { kind: 'bench_reads_high', measure: 'delivery as received', by: ['bench_id'], ends: 60 },
  { kind: 'element_closes_late', measure: 'phase error as first measured', by: ['pump_model', 'element'] },
  { kind: 'wrong_sign_of_shims', measure: 'shim changed the wrong way', by: ['technician'] },
  { kind: 'gauge_past_due', measure: 'gauge past its date', by: ['instrument_id'], ends: 30 },
  { kind: 'worn_barrels', measure: 'low-speed retention deficit', by: ['pump_model', 'branch'] },
];

describe('every planted truth is found, certain, where it was planted', () => {
  test.each(planted)('$kind', ({ kind, measure, by, ends }) => {
    const truth = truths.find((one) => one.kind === kind);
    const found = withTechnicians.found.find((one) => one.measure === measure);
    expect(found?.certainty).toBe('certain');
    expect(found?.where.map(({ level }) => level)).toEqual(by.map((column) => String(truth?.subject[column])));
    if (ends !== undefined) {
      expect(daysApart(found?.since?.day, truth?.since)).toBeLessThan(ends);
      if (truth?.until === null) expect(found?.until).toBeNull();
      else expect(daysApart(found?.until, truth?.until)).toBeLessThan(ends);
    } else {
      expect(found?.since).toBeNull();
    }
  });

  test('superseded_revision', () => {
    const truth = truths.find((one) => one.kind === 'superseded_revision');
    const found = withTechnicians.found.find(({ measure }) => measure === 'superseded revision');
    expect(found?.certainty).toBe('certain');
    expect(found?.where.map(({ level }) => level)).toEqual(['Heron', truth?.subject.branch]);
    expect(daysApart(found?.since?.day, truth?.since)).toBeLessThan(30);
    expect(daysApart(found?.until, truth?.until)).toBeLessThan(30);
    expect(found?.jobs).toHaveLength(truth?.job_ids.length ?? 0);
  });
});

test('nothing else is certain, with technicians or without', () => {
  const all = [...planted.map(({ measure }) => measure), 'superseded revision'];
  const certain = (answer: SearchAnswer): Measure[] =>
    answer.found.filter(({ certainty }) => certainty === 'certain').map(({ measure }) => measure);
  expect(certain(withTechnicians).sort()).toEqual([...all].sort());
  expect(certain(without).sort()).toEqual(all.filter((one) => one !== 'shim changed the wrong way').sort());
});

test('the sizes are those that were planted', () => {
  const sizeOf = (kind: string): number => truths.find((one) => one.kind === kind)?.size?.value ?? Number.NaN;
  const of = (measure: Measure): Found | undefined => without.found.find((one) => one.measure === measure);
  expect(of('delivery as received')?.difference.value).toBeCloseTo(sizeOf('bench_reads_high'), 0);
  const batch = of('shim does what is marked')?.difference;
  expect(batch?.low).toBeLessThan(sizeOf('thick_shim_batch'));
  expect(batch?.high).toBeGreaterThan(sizeOf('thick_shim_batch'));
});

test('each says itself in a sentence', () => {
  const said = without.found.map((found) => headline(found, inLogUnits));
  expect(said).toContainEqual(expect.stringMatching(/^Heron, element 3/));
  expect(said).toContainEqual(expect.stringContaining('S24C'));
  for (const sentence of said) expect(sentence).not.toMatch(/NaN|undefined/);
});

test('the list is short, and tells how many comparisons it is out of', () => {
  expect(without.found.length).toBeLessThan(12);
  expect(without.comparisons).toBeGreaterThan(5000);
});
