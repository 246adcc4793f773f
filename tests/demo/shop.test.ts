import { describe, expect, test } from 'vitest';
import { models } from '../../data-demo/models';
import { collect, firingOrder, group, jobOf, mean, nominal, perStroke, pointOf, specOf } from './reckon';
import type { Rows } from '../../data-demo/rows';
import { sheetRows, sheets } from '../../data-demo/sheets';

/** The shop is one that could be: its pumps, its years, its habits. */

const log = collect({ jobs: 2500, seed: 1 });
const { jobs, closures, draws, shims } = log.rows;

describe('models', () => {
  test('six of them, with 4, 6 and 8 elements, each with two revisions or more', () => {
    expect(models).toHaveLength(6);
    expect(new Set(models.map((model) => model.firing_order.length))).toEqual(new Set([4, 6, 8]));
    for (const model of models) expect(model.revisions.length).toBeGreaterThanOrEqual(2);
  });

  test('every way to state a lift rate, to adjust and to reckon a spread is among them', () => {
    const { specs, cam_lift, test_points } = sheetRows(sheets);
    const withTable = new Set(cam_lift.map((row) => row.spec_id));
    const basis = (spec: Rows['specs']) =>
      withTable.has(spec.spec_id)
        ? 'table'
        : spec.base_radius_mm != null && spec.roller_radius_mm != null
          ? 'geometry'
          : spec.lift_rate_mm_per_deg != null
            ? 'rate'
            : 'none';
    expect(new Set(specs.map(basis))).toEqual(new Set(['table', 'geometry', 'rate', 'none']));
    expect(new Set(specs.map((spec) => spec.adjuster ?? null))).toEqual(
      new Set([null, 'barrel_shim', 'tappet_shim', 'tappet_screw']),
    );
    expect(new Set(test_points.map((point) => point.spread_basis))).toEqual(
      new Set(['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent']),
    );
    expect(specs.some((spec) => spec.phasing_tol_deg === null)).toBe(true);
    expect(specs.some((spec) => spec.shim_sizes_mm !== null)).toBe(true);
    const uneven = specs.filter((spec) => spec.closure_angles_deg != null);
    expect(uneven.length).toBeGreaterThan(0);
    for (const spec of uneven) {
      const steps = firingOrder(spec).map((element) => nominal(spec, element) % 45);
      expect(new Set(steps).size).toBeGreaterThan(1);
    }
  });

  test('low speed is drawn at the rack of full load, so that retention can be reckoned', () => {
    for (const sheet of sheets) {
      const at = (purpose: string) => sheet.points.find(({ row }) => row.purpose === purpose)?.row;
      expect(at('low-speed')?.rack_mm).toBe(at('full')?.rack_mm);
      expect(at('low-speed')?.speed_rpm).toBeLessThan((at('full')?.speed_rpm ?? 0) / 2);
    }
  });
});

describe('years', () => {
  test('eight of them, in the order in which jobs came in, on working days', () => {
    const days = jobs.map((job) => job.received_on);
    expect([...days].sort()).toEqual(days);
    expect(new Set(days.map((day) => day.slice(0, 4))).size).toBe(8);
    for (const day of days) expect([0, 6]).not.toContain(new Date(`${day}T00:00:00Z`).getUTCDay());
  });

  test('pumps come back, and their engines have run in between', () => {
    const visits = [...group(jobs, (job) => job.pump_serial).values()];
    expect(visits.filter((list) => list.length >= 3).length).toBeGreaterThan(200);
    for (const list of visits) {
      const hours = list.flatMap((job) => (job.engine_hours == null ? [] : [job.engine_hours]));
      expect([...hours].sort((a, b) => a - b)).toEqual(hours);
    }
  });

  test('a stack is found as it was left', () => {
    const last = new Map<string, number>();
    for (const row of shims) {
      const stack = `${jobOf(log, row.job_id).pump_serial} ${row.element}`;
      const left = last.get(stack);
      if (left !== undefined) expect(row.before_mm).toBe(left);
      last.set(stack, row.after_mm ?? NaN);
    }
  });
});

describe('work', () => {
  test('most draws have the rack in its window, some have not', () => {
    const off = draws.filter((row) => {
      const point = pointOf(jobOf(log, row.job_id), row.test_point);
      return Math.abs((row.rack_mm ?? NaN) - (point.rack_mm ?? NaN)) > (point.rack_tol_mm ?? NaN) + 1e-9;
    });
    expect(off.length / draws.length).toBeGreaterThan(0.005);
    expect(off.length / draws.length).toBeLessThan(0.05);
  });

  test('timing and phasing are in at the first go for most pumps of every model, not for all', () => {
    const runs = group(
      closures.filter((row) => row.run === 1),
      (row) => row.job_id,
    );
    const results = [...runs].flatMap(([job_id, rows]) => {
      const job = jobOf(log, job_id);
      const spec = specOf(job);
      const reference = rows.find((row) => row.element === firingOrder(spec)[0]);
      if (rows.length < spec.elements || reference?.lift_mm == null) return [];
      const lift = reference.lift_mm - (reference.preload_mm ?? 0) - spec.lift_mm;
      const inBand = lift >= -spec.lift_minus_mm - 1e-9 && lift <= spec.lift_plus_mm + 1e-9;
      const phased = rows.every(
        (row) => Math.abs(row.cam_deg - nominal(spec, row.element)) <= (spec.phasing_tol_deg ?? 0.5) + 1e-9,
      );
      return [{ model: job.pump_model, passed: inBand && phased ? 1 : 0 }];
    });
    const rates = [...group(results, ({ model }) => model).values()].map((list) =>
      mean(list.map(({ passed }) => passed)),
    );
    expect(rates).toHaveLength(6);
    for (const rate of rates) expect(rate).toBeGreaterThan(0.6);
    for (const rate of rates) expect(rate).toBeLessThan(0.99);
    expect(Math.max(...rates) - Math.min(...rates)).toBeGreaterThan(0.1);
  });

  test('a new set of plungers and barrels holds more at low speed than what came in', () => {
    const renewed = new Set(
      log.rows.parts
        .filter((row) => row.part === 'plunger and barrel' && row.element === null)
        .map((row) => row.job_id),
    );
    const held = (pick: (row: Rows['draws']) => boolean) => {
      const picked = draws.filter((row) => jobOf(log, row.job_id).pump_model === 'Heron' && pick(row));
      const at = (name: string) => mean(picked.filter((row) => row.test_point === name).map(perStroke));
      return at('Low speed') / at('Full load');
    };
    expect(held((row) => renewed.has(row.job_id) && row.run === 1)).toBeGreaterThan(
      held((row) => row.run === 0) + 0.01,
    );
  });

  test('a rebuild takes more labour than a recalibration, and that more than a test', () => {
    const hours = (work: string) =>
      mean(jobs.flatMap((job) => (job.work_type === work && job.labour_hours != null ? [job.labour_hours] : [])));
    expect(hours('rebuild')).toBeGreaterThan(1.5 * hours('recalibrate'));
    expect(hours('recalibrate')).toBeGreaterThan(1.3 * hours('test'));
  });
});
