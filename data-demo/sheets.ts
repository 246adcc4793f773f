import { dayOf } from './calendar';
import { liftAt } from './cam';
import { gainPerRack } from './pump';
import type { Model, PointPlan, Revision } from './model';
import { models } from './models';
import { nearest, type CleanRows, type Rows } from './rows';

/** One revision of one model's specification: the rows that state it, and what the bench works to. */
export interface Sheet {
  readonly model: Model;
  readonly revision: Revision;
  readonly valid_from: number;
  readonly spec: Rows['specs'];
  readonly camLift: readonly Rows['cam_lift'][];
  readonly points: readonly SheetPoint[];
  readonly checks: readonly Check[];
}

export interface SheetPoint {
  readonly plan: PointPlan;
  readonly rack_mm: number;
  /** Middle of the band [mm3/stroke]. */
  readonly centre: number;
  readonly row: Rows['test_points'];
}

export interface Check {
  readonly kind: 'stop' | 'breakaway' | 'cut_off' | 'droop' | 'idle' | 'boost' | 'torque_control';
  /** Middle of the band, in its unit. */
  readonly centre: number;
  readonly row: Rows['checks'];
}

const orNull = <T>(condition: boolean, value: T): T | null => (condition ? value : null);

function sheetOf(model: Model, revision: Revision): Sheet {
  const key = { spec_id: model.spec_id, revision: revision.revision };
  return {
    model,
    revision,
    valid_from: dayOf(revision.valid_from),
    spec: specRow(model, revision),
    camLift: model.sheet_rate === 'table' ? camRows(model, key) : [],
    points: model.points.map((plan, i) => pointOf(model, revision, plan, i + 1)),
    checks: checksOf(model, revision),
  };
}

function specRow(model: Model, revision: Revision): Rows['specs'] {
  const { cam } = model;
  return {
    spec_id: model.spec_id,
    revision: revision.revision,
    valid_from: revision.valid_from,
    pump_model: model.name,
    elements: model.firing_order.length,
    firing_order: model.firing_order.join('-'),
    closure_angles_deg: model.closure_angles_deg?.join('-') ?? null,
    lift_mm: revision.lift_mm,
    lift_minus_mm: model.lift_minus_mm,
    lift_plus_mm: model.lift_plus_mm,
    phasing_tol_deg: revision.tolerance_deg,
    lift_rate_mm_per_deg: model.sheet_rate === 'rate' && cam.form === 'line' ? cam.rate : null,
    base_radius_mm: model.sheet_rate === 'geometry' && cam.form === 'tangent' ? cam.base_mm : null,
    roller_radius_mm: model.sheet_rate === 'geometry' && cam.form === 'tangent' ? cam.roller_mm : null,
    plunger_mm: model.plunger_mm,
    helix_deg: model.helix_deg,
    sleeve_radius_mm: model.sleeve_mm,
    slot_deg: model.slot_deg,
    adjuster: orNull(model.adjuster !== 'barrel_shim' || model.split_pairs, model.adjuster),
    screw_mm_per_turn: model.screw_mm_per_turn,
    balance_by: model.balance_by,
    shim_step_mm: model.sizes_mm === null && model.screw_mm_per_turn === null ? model.step_mm : null,
    shim_sizes_mm: model.sizes_mm?.map((size) => size.toFixed(2)).join(' ') ?? null,
    fluid_density_15c: 825,
    reference_c: 40,
    seal_length_mm: nearest(model.plunger_mm * 1.6, 10),
    injection_deg: 9,
    injection_mpa: nearest(12 + model.plunger_mm, 10),
    viscosity_mpa_s: 2.1,
  };
}

const camRows = (model: Model, key: { spec_id: string; revision: string }): Rows['cam_lift'][] =>
  Array.from({ length: 27 }, (_, i) => ({ ...key, cam_deg: i * 2, lift_mm: nearest(liftAt(model.cam, i * 2), 10000) }));

function pointOf(model: Model, revision: Revision, plan: PointPlan, order: number): SheetPoint {
  const rack_mm = plan.rack === 'full' ? revision.full_rack_mm : plan.rack;
  // The maker drew the band around a pump that is run in, not one fresh from the box.
  const centre = gainPerRack(model) * (rack_mm - model.rack_zero_mm) - (1.15 * model.leak) / plan.rpm;
  return {
    plan,
    rack_mm,
    centre,
    row: {
      spec_id: model.spec_id,
      revision: revision.revision,
      test_point: plan.name,
      purpose: plan.purpose,
      order,
      speed_rpm: plan.rpm,
      speed_tol_rpm: model.speed_tol_rpm,
      rack_mm,
      rack_tol_mm: model.rack_tol_mm,
      low_mm3: nearest(centre * (1 - plan.band), 2),
      high_mm3: nearest(centre * (1 + plan.band), 2),
      spread: plan.spread,
      spread_basis: plan.basis,
      strokes: plan.strokes,
      fluid_low_c: model.fluid_c[0],
      fluid_high_c: model.fluid_c[1],
      feed_low_kpa: model.feed_kpa === null ? null : model.feed_kpa - 20,
      feed_high_kpa: model.feed_kpa === null ? null : model.feed_kpa + 20,
    },
  };
}

/** Parts of its unit that a band is rounded to. */
const partsOf = { mm: 100, rpm: 1, percent: 10 } as const;

/** Speeds of the run-out with the lever at full [rpm]: where the rack leaves the stop, and where it comes to rest. */
export const breakawayRpm = (model: Model): number => model.rated_rpm + 25;
export const cutOffRpm = (model: Model): number => Math.round(model.rated_rpm * 1.1);

function checksOf(model: Model, revision: Revision): Check[] {
  const check = (
    kind: Check['kind'],
    check_id: string,
    stated: Rows['checks']['kind'],
    centre: number,
    either: number,
    unit: 'mm' | 'rpm' | 'percent',
    at: { speed_rpm?: number; boost_kpa?: number; lever: string },
  ): Check => ({
    kind,
    centre,
    row: {
      spec_id: model.spec_id,
      revision: revision.revision,
      check_id,
      kind: stated,
      speed_rpm: at.speed_rpm ?? null,
      boost_kpa: at.boost_kpa ?? null,
      lever: at.lever,
      low: nearest(centre - either, partsOf[unit]),
      high: nearest(centre + either, partsOf[unit]),
      unit,
    },
  });
  const rated = model.rated_rpm;
  const full = revision.full_rack_mm;
  const middle = Math.round(rated * 0.6);
  return [
    check('stop', 'full-load stop', 'rack_at_speed', full, 0.15, 'mm', { speed_rpm: rated, lever: 'full' }),
    check('breakaway', 'breakaway', 'breakaway', breakawayRpm(model), 20, 'rpm', { lever: 'full' }),
    check('cut_off', 'cut-off', 'cut_off', cutOffRpm(model), 30, 'rpm', { lever: 'full' }),
    ...(model.run_out
      ? [
          check('droop', 'droop', 'droop', (100 * (cutOffRpm(model) - rated)) / rated, 2.5, 'percent', {
            speed_rpm: rated,
            lever: 'full',
          }),
        ]
      : []),
    check('idle', 'idle rack', 'rack_at_speed', model.rack_zero_mm + 1.2, 0.25, 'mm', {
      speed_rpm: model.idle_rpm,
      lever: 'idle',
    }),
    ...(model.torque_control
      ? [
          check('torque_control', 'torque control', 'torque_control', full + 0.4, 0.2, 'mm', {
            speed_rpm: middle,
            lever: 'full',
          }),
        ]
      : []),
    ...model.boost.map((kpa, i) =>
      check('boost', `boost ${kpa}`, 'boost', full - 1.2 + (1.2 * i) / (model.boost.length - 1), 0.2, 'mm', {
        speed_rpm: middle,
        boost_kpa: kpa,
        lever: 'full',
      }),
    ),
  ];
}

/** Every revision of every model, oldest first within a model. */
export const sheets: readonly Sheet[] = models.flatMap((model) =>
  model.revisions.map((revision) => sheetOf(model, revision)),
);

const byModel = new Map(models.map((model) => [model.name, sheets.filter((sheet) => sheet.model === model)]));

/** The revisions that a model had on a day, oldest first; the last is the one to use. */
export const sheetsOn = (model: Model, day: number): readonly Sheet[] =>
  (byModel.get(model.name) ?? []).filter((sheet) => sheet.valid_from <= day);

export const sheetRows = (chosen: readonly Sheet[]): CleanRows<'specs' | 'cam_lift' | 'test_points' | 'checks'> => ({
  specs: chosen.map((sheet) => sheet.spec),
  cam_lift: chosen.flatMap((sheet) => sheet.camLift),
  test_points: chosen.flatMap((sheet) => sheet.points.map((point) => point.row)),
  checks: chosen.flatMap((sheet) => sheet.checks.map((check) => check.row)),
});
