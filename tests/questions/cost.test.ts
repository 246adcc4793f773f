import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { UNFILTERED } from '../../lib/store/filters';
import { costInAll, costLines, moneyOf } from '../../lib/store/questions/reworkCost';
import { secondDraws, secondDrawsOf } from '../../lib/store/questions/secondDraws';
import { logOf } from '../store/openLog';
import { appended, smallLog, smallLogWith } from '../store/smallLog';

async function drawsOf(files: Readonly<Record<string, string>>) {
  const log = await logOf(files);
  try {
    const models = z.array(secondDraws.row).parse(await log.db.rows(secondDraws.sql, secondDraws.params(UNFILTERED)));
    const { draws, perDraw } = secondDrawsOf(models);
    return { draws, hours: perDraw };
  } finally {
    await log.db.close();
  }
}

describe('second draws', () => {
  it('are those after the first at a test point, not those as received', async () => {
    // Full load was drawn twice in run 1; three elements counted the first time.
    expect((await drawsOf(smallLog)).draws).toEqual({ jobs: 1, rounds: 3, low: 0, high: 1 });
    const received = smallLogWith('draws.csv', appended('J-1,0,low,1,1,36.0,500,200,12'));
    expect((await drawsOf(received)).draws).toMatchObject({ rounds: 3, high: 1 });
  });

  it('are called for after a correction, and after a draw that did not count', async () => {
    const again = smallLogWith('draws.csv', appended('J-1,2,low,1,1,35.0,500,200,12'));
    expect((await drawsOf(again)).draws).toEqual({ jobs: 1, rounds: 4, low: 1, high: 2 });
    // The first low-speed draw at 12.5 mm of rack, which does not count, and once more at 12.
    const missed = smallLogWith('draws.csv', (text) =>
      appended('J-1,1,low,2,1,35.0,500,200,12')(text.replaceAll(/(J-1,1,low,1.*),12$/gm, '$1,12.5')),
    );
    expect((await drawsOf(missed)).draws).toEqual({ jobs: 1, rounds: 4, low: 1, high: 2 });
  });

  it('have no hours where the shop has hardly any jobs', async () => {
    expect((await drawsOf(smallLog)).hours).toMatchObject({ n: 0, hours: null });
  });

  it('have the hours of the slope within model and type of work', async () => {
    // Even jobs were drawn once at full load and took 2 hours, odd ones twice and took 2.5.
    const jobs = Array.from({ length: 32 }, (_, k) => ({ id: `S${k}`, draws: 1 + (k % 2), hours: 2 + 0.5 * (k % 2) }));
    const { draws, hours } = await drawsOf({
      ...smallLog,
      'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type,bench_hours\n${jobs
        .map(({ id, hours: taken }) => `${id},${id},Kestrel,K-1,A,2024-03-04,test,${taken}`)
        .join('\n')}\n`,
      'closures.csv': 'job_id,run,element,cam_deg\n',
      'shims.csv': 'job_id,run,element,before_mm,after_mm\n',
      'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm\n${jobs
        .flatMap(({ id, draws: n }) => [1, 2].slice(0, n).map((repeat) => `${id},1,full,${repeat},1,40,500,1000,12`))
        .join('\n')}\n`,
    });
    expect(draws).toEqual({ jobs: 16, rounds: 48, low: 0, high: 16 });
    expect(hours.n).toBe(32);
    expect(hours.hours?.slope).toBeCloseTo(0.5, 9);
  });
});

describe('the cost of rework', () => {
  const slope = { slope: 1, error: 0.1, low: 0.8, high: 1.2 };
  const barrels = [
    {
      pump_model: 'Kestrel',
      adjuster: null,
      jobs: 9,
      reworked: 5,
      done: 8,
      enough: 4,
      done_mm: 1,
      enough_mm: 0.5,
      spare_low: 2,
      spare_high: 5,
    },
  ];
  const asked = {
    barrels,
    perBarrel: { n: 40, hours: slope },
    draws: { jobs: 3, rounds: 30, low: 10, high: 20 },
    perDraw: { n: 40, hours: { ...slope, low: 0.1, high: 0.2 } },
    returns: { returns: 4, warranty: 1, low: 3, high: 12, unknown: 0 },
  };

  it('is a range a line: the lowest of number and hours to the highest of both', () => {
    const lines = costLines(asked);
    expect(lines.map(({ of, times }) => [of, times.low, times.high])).toEqual([
      ['barrels', 2, 5],
      ['draws', 10, 20],
      ['returns', 1, 4],
    ]);
    expect(lines.map(({ hours }) => [hours?.low, hours?.high])).toEqual([
      [1.6, 6],
      [1, 4],
      [3, 12],
    ]);
  });

  it('counts no hour twice at its lowest and every line at its highest', () => {
    expect(costInAll(costLines(asked))).toEqual({ low: 3, high: 22 });
    expect(costInAll([])).toEqual({ low: 0, high: 0 });
  });

  it('is money at so much an hour, a line and in all, and parts of the same currency come on top', () => {
    const lines = costLines(asked);
    // 1.6 to 6 hours, and 3 to 22 in all, at 60 an hour.
    expect(lines.map(({ hours }) => hours && moneyOf(hours, 60))[0]).toEqual({ low: 96, high: 360 });
    expect(moneyOf(costInAll(lines), 60)).toEqual({ low: 180, high: 1320 });
    expect(moneyOf(costInAll(lines), 60, { low: 120, high: 300 })).toEqual({ low: 300, high: 1620 });
  });

  it('tells no hours from a slope that may be nothing, and leaves them out', () => {
    const lines = costLines({ ...asked, perDraw: { n: 40, hours: { ...slope, low: -0.1 } } });
    expect(lines[1]?.hours).toBeNull();
    expect(costInAll(lines)).toEqual({ low: 3, high: 18 });
  });
});
