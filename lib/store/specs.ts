import { group } from 'd3-array';
import { z } from 'zod';
import type {
  BalanceBy,
  Check,
  CheckKind,
  CheckUnit,
  Gauge,
  GaugeUnit,
  Purpose,
  Spec,
  SpreadBasis,
} from '../calc/types';
import { adjusters, checkKinds, purposes, spreadBases } from '../log/tables/specs';
import type { Database } from './database';

/** Puts the specification revisions of the log together for the engine: a value that is not stated becomes NaN there. */

const real = z
  .number()
  .nullable()
  .transform((value) => value ?? Number.NaN);
const numbers = (text: string): number[] => text.split(/[- ]/).map(Number);
const numberList = z
  .string()
  .nullable()
  .transform((text) => (text === null ? null : numbers(text)));

const specRow = z.object({
  spec_no: z.int(),
  elements: z.int(),
  firing_order: z.string().transform(numbers),
  closure_angles_deg: numberList,
  lift_mm: z.number(),
  lift_minus_mm: z.number(),
  lift_plus_mm: z.number(),
  phasing_tol_deg: real,
  lift_rate_mm_per_deg: real,
  base_radius_mm: real,
  roller_radius_mm: real,
  adjuster: z
    .enum(adjusters)
    .nullable()
    .transform((value) => value ?? 'barrel_shim'),
  screw_mm_per_turn: real,
  shim_step_mm: real,
  shim_sizes_mm: numberList.transform((sizes) => sizes?.toSorted((a, b) => a - b) ?? null),
  full_lift_mm: real,
  ascent_deg: real,
  plunger_mm: real,
  helix_deg: real,
  sleeve_radius_mm: real,
  slot_deg: real,
  balance_by: z
    .enum(['barrel', 'sleeve'])
    .nullable()
    .transform((value): BalanceBy => value ?? 'barrel'),
  fluid_density_15c: real,
  reference_c: real,
  seal_length_mm: real,
  injection_deg: real,
  injection_mpa: real,
  viscosity_mpa_s: real,
});
/** The day from which another revision of the sheet is the one to use. */
const supersededRow = z.object({ spec_no: z.int(), superseded_day: real });

const pointRow = z.object({
  spec_no: z.int(),
  point: z.int(),
  name: z.string(),
  purpose: z
    .enum(purposes)
    .nullable()
    .transform((value): Purpose => value ?? 'unstated'),
  order: z.int(),
  speed_rpm: z.number(),
  speed_tol_rpm: real,
  rack_mm: real,
  rack_tol_mm: real,
  low_mm3: z.number(),
  high_mm3: z.number(),
  spread: real,
  spread_basis: z
    .enum(spreadBases)
    .nullable()
    .transform((value): SpreadBasis => value ?? 'range_mm3'),
  fluid_low_c: real,
  fluid_high_c: real,
  feed_low_kpa: real,
  feed_high_kpa: real,
});

const liftRow = z.object({ spec_no: z.int(), cam_deg: z.number(), lift_mm: z.number() });

const checkRow = z.object({
  spec_no: z.int(),
  check: z.int(),
  name: z.string(),
  kind: z
    .enum(checkKinds)
    .nullable()
    .transform((value): CheckKind => value ?? 'unstated'),
  speed_rpm: real,
  boost_kpa: real,
  lever: z.int(),
  low: z.number(),
  high: z.number(),
  unit: z.string().nullable(),
});

const checkUnits: Readonly<Record<string, CheckUnit>> = {
  mm: 'mm',
  rpm: 'rpm',
  percent: 'percent',
  '%': 'percent',
  mm3_per_stroke: 'mm3_per_stroke',
};
/** A band without a unit of its own is one of rack travel, unless its kind is of another thing. */
function checkUnit(unit: string | null, kind: CheckKind): CheckUnit {
  const stated = unit === null ? undefined : checkUnits[unit.trim().toLowerCase()];
  if (stated !== undefined) return stated;
  if (kind === 'breakaway' || kind === 'cut_off') return 'rpm';
  if (kind === 'droop') return 'percent';
  return kind === 'delivery_at_speed' ? 'mm3_per_stroke' : 'mm';
}

const gaugeRow = z.object({
  gauge: z.int(),
  calibrated_day: z.number(),
  due_day: z.number(),
  uncertainty: real,
  unit: z.string().nullable(),
});
const gaugeUnits: Readonly<Record<string, GaugeUnit>> = {
  mm: 'mm',
  deg: 'cam_deg',
  '°': 'cam_deg',
  cam_deg: 'cam_deg',
  cm3: 'cm3',
  ml: 'cm3',
  'cm³': 'cm3',
  c: 'celsius',
  celsius: 'celsius',
  '°c': 'celsius',
  rpm: 'rpm',
  kpa: 'kpa',
  strokes: 'strokes',
};

const columns = (row: z.ZodObject): string =>
  Object.keys(row.shape)
    .map((name) => (name === 'name' ? 'test_point as name' : `"${name}"`))
    .join(', ');

/** First day of the next revision of the same sheet [days from 1970-01-01]; null while there is none with a day. */
export const SUPERSEDED_DAY = `(lead(valid_from) over (partition by spec_id, valid_from is null order by valid_from)
  - date '1970-01-01')::double`;

/** All that reading them needs of a database. */
type Asked = Pick<Database<unknown>, 'rows'>;

/** The gauges of the log with their calibrations, oldest first. */
export async function readGauges(db: Asked): Promise<Gauge[]> {
  const rows = z.array(gaugeRow).parse(
    await db.rows(`select gauge, (calibrated_on - date '1970-01-01')::double as calibrated_day,
        (due_on - date '1970-01-01')::double as due_day, expanded_uncertainty as uncertainty, unit
      from instruments order by gauge, calibrated_on`),
  );
  return [...group(rows, (row) => row.gauge)].map(([gauge, calibrations]) => ({
    gauge,
    calibrated_day: calibrations.map((row) => row.calibrated_day),
    due_day: calibrations.map((row) => row.due_day),
    uncertainty: calibrations.map((row) => row.uncertainty),
    unit: calibrations.map((row): GaugeUnit => gaugeUnits[row.unit?.trim().toLowerCase() ?? ''] ?? 'other'),
  }));
}

export async function readSpecs(db: Asked): Promise<Spec[]> {
  const specs = z.array(specRow).parse(await db.rows(`select ${columns(specRow)} from specs order by spec_no`));
  const points = z
    .array(pointRow)
    .parse(await db.rows(`select ${columns(pointRow)} from test_points order by spec_no, "order", point`));
  const lifts = z
    .array(liftRow)
    .parse(await db.rows(`select ${columns(liftRow)} from cam_lift order by spec_no, cam_deg`));
  const superseded = new Map(
    z
      .array(supersededRow)
      .parse(await db.rows(`select spec_no, ${SUPERSEDED_DAY} as superseded_day from specs`))
      .map((row) => [row.spec_no, row.superseded_day]),
  );
  const checks = z.array(checkRow).parse(
    await db.rows(`select spec_no, check_no as "check", check_id as name, kind, speed_rpm, boost_kpa, lever_no as lever, low, high, unit
      from checks order by spec_no, check_no, speed_rpm nulls first, boost_kpa nulls first, lever_no`),
  );
  const checksOf = group(checks, (check) => check.spec_no);
  const pointsOf = group(points, (point) => point.spec_no);
  const liftsOf = group(lifts, (lift) => lift.spec_no);
  return specs.map((spec): Spec => {
    const lift = liftsOf.get(spec.spec_no) ?? [];
    return {
      ...spec,
      cam_lift:
        lift.length < 2
          ? null
          : { deg: Float64Array.from(lift, (row) => row.cam_deg), mm: Float64Array.from(lift, (row) => row.lift_mm) },
      test_points: pointsOf.get(spec.spec_no) ?? [],
      checks: (checksOf.get(spec.spec_no) ?? []).map((row): Check => ({ ...row, unit: checkUnit(row.unit, row.kind) })),
      superseded_day: superseded.get(spec.spec_no) ?? Number.NaN,
    };
  });
}
