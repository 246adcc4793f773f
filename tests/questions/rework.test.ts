import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { UNFILTERED } from '../../lib/store/filters';
import { hoursEach, hoursPerBarrel, reworkByModel } from '../../lib/store/questions/reworkByModel';
import { spareBarrels } from '../../lib/store/questions/reworkCost';
import { logOf } from '../store/openLog';
import { appended, smallLog, smallLogWith } from '../store/smallLog';

async function reworkOf(files: Readonly<Record<string, string>>) {
  const log = await logOf(files);
  try {
    const models = z
      .array(reworkByModel.row)
      .parse(await log.db.rows(reworkByModel.sql, reworkByModel.params(UNFILTERED)));
    const hours = z
      .array(hoursPerBarrel.row)
      .parse(await log.db.rows(hoursPerBarrel.sql, hoursPerBarrel.params(UNFILTERED)));
    return { models, hours: hoursEach(hours) };
  } finally {
    await log.db.close();
  }
}

describe('what would have been enough', () => {
  it('counts the one barrel that had to come off', async () => {
    // Element 3 closes 0.8 deg late at 0.2 mm a degree: 0.10 mm less leaves 0.3 deg, within 0.5. The shop took 0.15 mm out.
    const { models } = await reworkOf(smallLog);
    expect(models).toHaveLength(1);
    expect(models[0]).toMatchObject({ jobs: 1, reworked: 1, done: 1, enough: 1, spare_low: 0, spare_high: 0 });
    expect(models[0]?.done_mm).toBeCloseTo(0.15, 9);
    expect(models[0]?.enough_mm).toBeCloseTo(0.1, 9);
  });

  it('counts a barrel changed although the run was in as one that need not have been', async () => {
    const { models } = await reworkOf(smallLogWith('shims.csv', appended('J-1,2,4,1.00,1.05')));
    expect(models[0]).toMatchObject({ done: 2, enough: 1, spare_low: 1, spare_high: 1 });
  });

  it('tells the hours of needless changes as a range, where corrections went two ways', async () => {
    // Every job begins with element 3 0.8 deg late, for which the plan changes one barrel. Even jobs change it alone, by enough. Odd ones
    // change it by too little, then it again and element 4 without need: three changes, of which the runs' own plans ask for two, and
    // the first run's plan for one. A change takes half an hour, give or take.
    const jobs = Array.from({ length: 32 }, (_, k) => ({
      id: `S${k}`,
      isOdd: k % 2 === 1,
      off: k % 4 < 2 ? 0.1 : -0.1,
    }));
    const closures = (id: string, run: number, three: number, four: number) => [
      `${id},${run},1,0,2.60,0.50`,
      `${id},${run},3,${three},,`,
      `${id},${run},4,${four},,`,
      `${id},${run},2,270,,`,
    ];
    const { models, hours } = await reworkOf({
      ...smallLog,
      'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type,bench_hours\n${jobs
        .map(({ id, isOdd, off }) => `${id},${id},Kestrel,K-1,A,2024-03-04,recalibrate,${(isOdd ? 3 : 2) + off}`)
        .join('\n')}\n`,
      'closures.csv': `job_id,run,element,cam_deg,lift_mm,preload_mm\n${jobs
        .flatMap(({ id, isOdd }) => [
          ...closures(id, 1, 90.8, 180),
          ...(isOdd ? [...closures(id, 2, 90.55, 180), ...closures(id, 3, 90.05, 180.25)] : closures(id, 2, 90.3, 180)),
        ])
        .join('\n')}\n`,
      'shims.csv': `job_id,run,element,before_mm,after_mm\n${jobs
        .flatMap(({ id, isOdd }) =>
          isOdd ? [`${id},1,3,1.20,1.15`, `${id},2,3,1.15,1.05`, `${id},2,4,1.00,1.05`] : [`${id},1,3,1.20,1.10`],
        )
        .join('\n')}\n`,
      'draws.csv': 'job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm\n',
    });
    expect(models).toMatchObject([{ jobs: 32, reworked: 32, done: 64, enough: 32, spare_low: 16, spare_high: 32 }]);
    // Changes are 1 or 3, hours 2 or 3 and 0.1 either way: slope 1/2, Sxx 32, residual sum of squares 0.32 on 30 degrees of freedom.
    const error = Math.sqrt(0.32 / 30 / 32);
    const { times, hours: inAll } = spareBarrels(models, hours);
    expect(times).toEqual({ low: 16, high: 32 });
    expect(inAll?.low).toBeCloseTo(16 * (0.5 - 1.959964 * error), 4);
    expect(inAll?.high).toBeCloseTo(32 * (0.5 + 1.959964 * error), 4);
  });

  it('does not tell hours from one job', async () => {
    const { hours } = await reworkOf(smallLog);
    expect(hours.hours).toBeNull();
  });
});
