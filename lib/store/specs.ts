import { group } from 'd3-array';
import { z } from 'zod';
import type { Purpose, Spec, SpreadBasis } from '../calc/types';
import { adjusters, purposes, spreadBases } from '../log/tables/specs';
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
});

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

const columns = (row: z.ZodObject): string =>
  Object.keys(row.shape)
    .map((name) => (name === 'name' ? 'test_point as name' : `"${name}"`))
    .join(', ');

export async function readSpecs(db: Database<unknown>): Promise<Spec[]> {
  const specs = z.array(specRow).parse(await db.rows(`select ${columns(specRow)} from specs order by spec_no`));
  const points = z
    .array(pointRow)
    .parse(await db.rows(`select ${columns(pointRow)} from test_points order by spec_no, "order", point`));
  const lifts = z
    .array(liftRow)
    .parse(await db.rows(`select ${columns(liftRow)} from cam_lift order by spec_no, cam_deg`));
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
    };
  });
}
