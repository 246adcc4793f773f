import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { catchDraw, setBench } from '../../data-demo/bench';
import { models } from '../../data-demo/models';
import { delivery, newPump } from '../../data-demo/pump';
import { dice } from '../../data-demo/random';
import { shopTables, type CleanRows, type JobTable, type ShopTable } from '../../data-demo/rows';
import { sheetRows, sheets, sheetsOn } from '../../data-demo/sheets';
import { simulate } from '../../data-demo/simulate';
import { parquetBytes } from '../../data-demo/write';
import { openLog, type HeadlessLog } from '../../lib/headless/log';
import type { GaugeStudy } from '../../lib/stats/gaugeAnova';
import { UNFILTERED } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { earlyReturns } from '../../lib/store/questions/earlyReturns';
import { benchStudy } from '../../lib/store/questions/gaugeStudy';
import { QUOTE_NAMES } from '../../lib/store/questions/quoteHistory';
import { group, mean, together } from './reckon';

/** The rounds of the reference pumps: what they look like, and what the study of benches makes of them. */

const roundsOf = (faults: boolean) => together(simulate({ jobs: 2500, seed: 1, faults }).rounds());
const planted = roundsOf(true);

async function logOfRounds(rows: CleanRows<JobTable>): Promise<HeadlessLog> {
  const { calibrations } = simulate({ jobs: 2500, seed: 1 }).shop;
  const all: CleanRows<ShopTable> = { ...sheetRows(sheets), instruments: calibrations.map(({ row }) => row), ...rows };
  const files = shopTables.map((table) => ({
    name: `${table}.parquet`,
    path: null,
    blob: new Blob([new Uint8Array(parquetBytes(table, all[table]))]),
  }));
  return openLog(files, '2026-01-01 00:00:00');
}

async function ask<Args, Row>(log: HeadlessLog, of: Question<Args, Row>, args: Args): Promise<Row[]> {
  return (await log.db.rows(of.sql, of.params(args))).map((row) => of.row.parse(row));
}

async function studyOf(log: HeadlessLog): Promise<GaugeStudy> {
  const [found] = await ask(log, benchStudy, UNFILTERED);
  if (found?.study == null) throw new Error('There is no study');
  return found.study;
}

const variance = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + (value - mean(values)) ** 2, 0) / (values.length - 1);

describe('the rounds', () => {
  test('take a pump of each model over the same benches within a week of two years, and touch nothing', () => {
    const tours = [...group(planted.jobs, (job) => `${job.pump_serial} ${job.received_on.slice(0, 4)}`).values()];
    expect(tours).toHaveLength(2 * models.length);
    for (const tour of tours) {
      expect(tour.map(({ bench_id }) => bench_id)).toEqual(['B1', 'B2', 'B3']);
      const days = tour.map(({ received_on }) => Date.parse(received_on) / 86_400_000);
      expect(Math.max(...days) - Math.min(...days)).toBeLessThan(7);
    }
    for (const table of ['shims', 'barrels', 'parts'] as const) expect(planted[table]).toEqual([]);
    expect(new Set(planted.jobs.map(({ technician }) => technician)).size).toBe(1);
  });

  test('leave the jobs beside them as they are', () => {
    const rows = (withRounds: boolean) => {
      const simulation = simulate({ jobs: 1000, seed: 3 });
      if (withRounds) together(simulation.rounds());
      return together(simulation.chunks());
    };
    expect(rows(true)).toEqual(rows(false));
  });

  test('do not grow with the shop beyond five benches, and a small shop has none', () => {
    const cards = (jobs: number) => together(simulate({ jobs, seed: 1 }).rounds()).jobs.length;
    expect([999, 1000, 20_000, 200_000].map(cards)).toEqual([0, 36, 60, 60]);
  });
});

describe('the study of benches', () => {
  let log: HeadlessLog;
  beforeAll(async () => {
    log = await logOfRounds(planted);
  });
  afterAll(() => log.db.close());

  test('tells benches apart as they were simulated, the one that reads high among them', async () => {
    const { shop, faults } = simulate({ jobs: 2500, seed: 1 });
    const high = faults.truths().find(({ kind }) => kind === 'bench_reads_high');
    const reads = shop.benches.map(
      ({ bench_id, volume_factor }) =>
        100 * volume_factor * (bench_id === high?.subject['bench_id'] ? 1 + (high.size?.value ?? NaN) / 100 : 1),
    );
    const { chosen, parts, operators, trials } = await studyOf(log);
    expect({ parts, operators, trials }).toEqual({ parts: 12, operators: 3, trials: 2 });
    expect(chosen.operator.interval.low).toBeLessThan(Math.sqrt(variance(reads)));
    expect(chosen.operator.interval.high).toBeGreaterThan(Math.sqrt(variance(reads)));
    // With three benches the interval is wide; the figure itself is near, as each bench has 24 draws.
    expect(Math.abs(chosen.operator.sd - Math.sqrt(variance(reads)))).toBeLessThan(0.2);
  });

  test('tells how a draw repeats as rack, speed, fluid and graduate scatter', async () => {
    const chance = dice(77);
    const scatter = models.map((model) => {
      const pump = newPump(
        { serial: 'X', model, branch: '', day: 0, extra_drift_mm: () => 0, old_fleet: false },
        chance,
      );
      const point = sheetsOn(model, 2300)
        .at(-1)
        ?.points.find(({ plan }) => plan.purpose === 'base');
      if (point === undefined) throw new Error(`${model.name} has no base point`);
      const drawn = Array.from({ length: 1000 }, () => {
        const setting = setBench(point, 2300, chance);
        const { strokes } = point.plan;
        const values = pump.elements.map(
          (element) =>
            (1000 * catchDraw(delivery(pump, element, setting.rack, setting.rpm), strokes, setting, 1, chance)) /
            strokes,
        );
        return setting.inWindow ? [(100 * mean(values)) / point.centre] : [];
      });
      return variance(drawn.flat());
    });
    const { low, high } = (await studyOf(log)).chosen.repeatability.interval;
    expect(low).toBeLessThan(Math.sqrt(mean(scatter)));
    expect(high).toBeGreaterThan(Math.sqrt(mean(scatter)));
  });

  test('finds next to nothing between the benches of a sound shop', async () => {
    const sound = await logOfRounds(roundsOf(false));
    const { chosen } = await studyOf(sound);
    await sound.db.close();
    expect(chosen.operator.sd).toBeLessThan(0.4);
  });

  test('takes rounds for no returns and no past work, but a card with a complaint for both', async () => {
    const early = async (of: HeadlessLog) => (await ask(of, earlyReturns, { ...UNFILTERED, months: 6 })).length;
    const past = async (of: HeadlessLog) => (await of.db.rows(QUOTE_NAMES)).filter(({ kind }) => kind === 'job').length;
    expect([await early(log), await past(log)]).toEqual([0, 0]);
    const jobs = planted.jobs.map((job) => ({ ...job, complaint: 'low power' }));
    const complained = await logOfRounds({ ...planted, jobs });
    // Each pump came in again twice within the week, in both years.
    expect([await early(complained), await past(complained)]).toEqual([4 * models.length, jobs.length]);
    await complained.db.close();
  });
});
