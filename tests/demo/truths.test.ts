import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { liftAt } from '../../data-demo/cam';
import { models } from '../../data-demo/models';
import { truthsFile, type Truth } from '../../data-demo/truths';
import {
  collect,
  errorOf,
  errorOfMean,
  firingOrder,
  group,
  jobOf,
  mean,
  perStroke,
  pointOf,
  rackIsRight,
  revisionsOn,
  specOf,
  type Collected,
} from './reckon';

/** Each planted truth shows in the rows by a plain sum, and is gone from a shop without faults. */

const log = collect({ jobs: 2500, seed: 1 });
const sound = collect({ jobs: 2500, seed: 1, faults: false });
const truths = log.simulation.faults.truths();

function planted(kind: Truth['kind']): Truth {
  const truth = truths.find((one) => one.kind === kind);
  if (truth === undefined) throw new Error(`${kind} was not planted`);
  return truth;
}

const sorted = (names: Iterable<string>): string[] => [...new Set(names)].sort();

test('the file of truths says what the simulation planted', () => {
  const file = truthsFile.parse(JSON.parse(readFileSync('data-demo/truths.json', 'utf8')));
  expect(file.truths).toEqual(truths);
  expect(file.truths.every((truth) => truth.job_ids.length > 0)).toBe(true);
});

test('a shop without faults has slips and gaps only', () => {
  expect(sound.simulation.faults.truths().map((truth) => truth.kind)).toEqual([
    'arithmetic_slip',
    'test_point_missing',
  ]);
});

/** Lift rate at closure [mm/deg] by the difference quotient of the model's own cam. */
function liftRate(model: string, lift: number): number {
  const cam = models.find(({ name }) => name === model)?.cam;
  if (cam === undefined) throw new Error(`There is no model ${model}`);
  let deg = 0;
  while (liftAt(cam, deg) < lift) deg += 0.01;
  return (liftAt(cam, deg + 0.05) - liftAt(cam, deg - 0.05)) / 0.1;
}

/** Shim changes whose effect shows: measured before and after, the reference's stack left alone. */
function effects(of: Collected) {
  const closures = new Map(of.rows.closures.map((row) => [`${row.job_id} ${row.run} ${row.element}`, row]));
  const changed = new Set(of.rows.shims.map((row) => `${row.job_id} ${row.run} ${row.element}`));
  return of.rows.shims.flatMap((row) => {
    const job = jobOf(of, row.job_id);
    const spec = specOf(job);
    const reference = firingOrder(spec)[0] ?? 1;
    const before = closures.get(`${row.job_id} ${row.run} ${row.element}`);
    const after = closures.get(`${row.job_id} ${row.run + 1} ${row.element}`);
    const apart = row.run === 0 && job.work_type === 'rebuild';
    if (before === undefined || after === undefined || apart || row.element === reference) return [];
    if (changed.has(`${row.job_id} ${row.run} ${reference}`)) return [];
    const sign = (spec.adjuster ?? 'barrel_shim') === 'barrel_shim' ? 1 : -1;
    const booked = (row.after_mm ?? NaN) - row.before_mm;
    const error = errorOf(of, before);
    const seen = sign * (errorOf(of, after) - error) * liftRate(job.pump_model, spec.lift_mm);
    return [{ row, job, error, excess: seen - booked, wrongWay: Math.sign(booked) === Math.sign(error) * sign }];
  });
}

describe('the thick batch', () => {
  const byBatch = (of: Collected) =>
    [
      ...group(
        effects(of).filter(({ row }) => row.batch !== null),
        ({ row }) => String(row.batch),
      ),
    ].map(([batch, list]) => {
      const excess = list.map((one) => one.excess);
      return { batch, mean: mean(excess), z: mean(excess) / errorOfMean(excess) };
    });

  test('closes its elements later than the stacks say, as no other batch does', () => {
    const [worst, next] = byBatch(log).sort((a, b) => b.z - a.z);
    expect(worst?.batch).toBe(planted('thick_shim_batch').subject['batch']);
    expect(worst?.z).toBeGreaterThan(4);
    expect(next?.z).toBeLessThan(3.3);
  });

  test('is a batch like any other where nothing is planted', () => {
    for (const { z } of byBatch(sound)) expect(Math.abs(z)).toBeLessThan(3.6);
  });

  test('was in use from its first day to its last', () => {
    const { since, until, subject } = planted('thick_shim_batch');
    const days = log.rows.shims
      .filter(({ batch }) => batch === subject['batch'])
      .map(({ job_id }) => jobOf(log, job_id).finished_on ?? jobOf(log, job_id).received_on)
      .sort();
    expect(String(days[0]) >= String(since)).toBe(true);
    expect(String(days.at(-1)) <= String(until)).toBe(true);
  });
});

/** As-received full-load delivery against the middle of its band [%], a figure a job. */
function asReceived(of: Collected) {
  const draws = of.rows.draws.filter((d) => d.run === 0 && d.test_point === 'Full load' && rackIsRight(of, d));
  return [...group(draws, (d) => d.job_id)].map(([job_id, list]) => {
    const job = jobOf(of, job_id);
    const { low_mm3, high_mm3 } = pointOf(job, 'Full load');
    return { job, percent: 100 * ((2 * mean(list.map(perStroke))) / (low_mm3 + high_mm3) - 1) };
  });
}

describe('the bench that reads high', () => {
  const ahead = (of: Collected, bench: string, when: (day: string) => boolean): number => {
    const jobs = asReceived(of).filter(({ job }) => when(job.received_on));
    const own = jobs.filter(({ job }) => job.bench_id === bench);
    const others = jobs.filter(({ job }) => job.bench_id !== bench);
    return mean(own.map(({ percent }) => percent)) - mean(others.map(({ percent }) => percent));
  };
  const truth = planted('bench_reads_high');
  const bench = String(truth.subject['bench_id']);

  test('reads about as much more as was planted, from its day on', () => {
    expect(ahead(log, bench, (day) => day >= String(truth.since))).toBeCloseTo(truth.size?.value ?? NaN, 0);
    expect(Math.abs(ahead(log, bench, (day) => day < String(truth.since)))).toBeLessThan(0.5);
  });

  test('reads as the others do where nothing is planted', () => {
    expect(Math.abs(ahead(sound, bench, () => true))).toBeLessThan(0.5);
  });
});

describe('the element that closes late', () => {
  const errors = (of: Collected) =>
    group(
      of.rows.closures.filter((row) => row.run === 0 && row.element !== firingOrder(specOf(jobOf(of, row.job_id)))[0]),
      (row) => `${jobOf(of, row.job_id).pump_model} ${row.element}`,
    );
  const { subject } = planted('element_closes_late');
  const late = `${String(subject['pump_model'])} ${String(subject['element'])}`;

  test('is the only one that comes in late as a rule', () => {
    for (const [name, rows] of errors(log)) {
      const middle = mean(rows.map((row) => errorOf(log, row)));
      if (name === late) expect(middle).toBeGreaterThan(0.4);
      else expect(Math.abs(middle)).toBeLessThan(0.12);
    }
  });

  test('is like the others where nothing is planted', () => {
    const rows = errors(sound).get(late) ?? [];
    expect(Math.abs(mean(rows.map((row) => errorOf(sound, row))))).toBeLessThan(0.12);
  });
});

test('one technician changes shims the wrong way, and nobody in a shop without faults', () => {
  const { subject, job_ids } = planted('wrong_sign_of_shims');
  const clear = (of: Collected) => effects(of).filter(({ error }) => Math.abs(error) > 0.6);
  for (const [technician, list] of group(clear(log), ({ job }) => String(job.technician))) {
    const wrong = list.filter(({ wrongWay }) => wrongWay);
    if (technician === subject['technician']) expect(wrong.length / list.length).toBeGreaterThan(0.1);
    else expect(wrong).toHaveLength(0);
    for (const { job } of wrong) expect(job_ids).toContain(job.job_id);
  }
  expect(clear(sound).filter(({ wrongWay }) => wrongWay)).toHaveLength(0);
});

test('superseded revisions are used in the jobs that were planted and in no others', () => {
  const superseded = (of: Collected) =>
    of.rows.jobs.filter((job) => revisionsOn(job.spec_id, job.received_on).at(-1) !== job.spec_revision);
  const truth = planted('superseded_revision');
  expect(superseded(log).map((job) => job.job_id)).toEqual(truth.job_ids);
  for (const job of superseded(log)) {
    expect(job).toMatchObject(truth.subject);
    expect(job.received_on >= String(truth.since) && job.received_on <= String(truth.until)).toBe(true);
  }
  expect(superseded(sound)).toEqual([]);
});

describe('the gauge past its date', () => {
  const gaps = (of: Collected) =>
    [...group(of.simulation.shop.calibrations, ({ instrument_id }) => instrument_id)].flatMap(([id, history]) =>
      history.flatMap((calibration, i) => {
        const next = history[i + 1];
        return next !== undefined && next.on > calibration.due
          ? [{ id, from: calibration.row.due_on, to: next.row.calibrated_on }]
          : [];
      }),
    );
  const truth = planted('gauge_past_due');

  test('is the only one whose calibrations leave a gap', () => {
    expect(gaps(log).map(({ id, from }) => ({ id, from }))).toEqual([
      { id: truth.subject['instrument_id'], from: truth.since },
    ]);
    expect(gaps(sound)).toEqual([]);
  });

  test('was used in every job that was planted, and all jobs finished within the gap are among them', () => {
    const used = sorted(
      log.rows.closures.filter((row) => row.instrument_id === truth.subject['instrument_id']).map((row) => row.job_id),
    );
    const within = (day: string | null | undefined) =>
      String(day) >= String(truth.since) && String(day) <= String(truth.until);
    for (const id of truth.job_ids) expect(used).toContain(id);
    // Readings as received are taken some days before the job is finished, so jobs that reach past either end stay out.
    const inside = used.filter((id) => within(jobOf(log, id).finished_on) && within(jobOf(log, id).received_on));
    expect(inside.length).toBeGreaterThan(30);
    for (const id of inside) expect(truth.job_ids).toContain(id);
  });
});

test('the old fleet loses far more at low speed than pumps of its model elsewhere', () => {
  const { subject } = planted('worn_barrels');
  const retention = (of: Collected, branch: (name: string) => boolean): number => {
    const draws = of.rows.draws.filter((row) => row.run === 0 && rackIsRight(of, row));
    const ratios = [...group(draws, (row) => row.job_id)].flatMap(([job_id, list]) => {
      const job = jobOf(of, job_id);
      const at = (name: string) => list.filter((row) => row.test_point === name).map(perStroke);
      const mine = job.pump_model === subject['pump_model'] && branch(String(job.branch));
      const [slow, full] = [at('Low speed'), at('Full load')];
      return mine && slow.length > 0 && full.length > 0 ? [mean(slow) / mean(full)] : [];
    });
    return mean(ratios);
  };
  const behind = (of: Collected) =>
    retention(of, (name) => name !== subject['branch']) - retention(of, (name) => name === subject['branch']);
  expect(behind(log)).toBeGreaterThan(0.06);
  expect(Math.abs(behind(sound))).toBeLessThan(0.015);
});

test('arithmetic slips are in the jobs that are named and in no others', () => {
  const slips = log.rows.draws.filter(
    (row) => row.stated_mm3_per_stroke != null && Math.abs(row.stated_mm3_per_stroke - perStroke(row)) > 0.051,
  );
  expect(sorted(slips.map((row) => row.job_id))).toEqual(planted('arithmetic_slip').job_ids);
});

test('test points are missing in the jobs that are named and in no others', () => {
  const runs = group(log.rows.draws, (row) => `${row.job_id} ${row.run}`);
  const short = [...runs.values()].flatMap((list) => {
    const [first] = list;
    if (first === undefined) return [];
    const asked = models.find(({ name }) => name === jobOf(log, first.job_id).pump_model)?.points.length;
    return new Set(list.map((row) => row.test_point)).size === asked ? [] : [first.job_id];
  });
  expect(sorted(short)).toEqual(planted('test_point_missing').job_ids);
});
