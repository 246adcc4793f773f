import { z } from 'zod';
import { calibrate } from '../../lib/calc/batch';
import { codes, type ResultTable } from '../../lib/calc/layout';
import type { Readings } from '../../lib/calc/types';
import { tables } from '../../lib/log/tables';
import type { Display } from '../../lib/units/display';
import { readTyped } from '../../lib/units/typed';
import type { Unit } from '../../lib/units/units';
import { jobBalancePlans, type JobBalancePlan } from '../../lib/store/questions/jobBalancePlans';
import { jobFindings, type JobFinding } from '../../lib/store/questions/jobFindings';
import { wordRows, type JobReadings } from '../../lib/store/questions/jobReadings';
import { jobRotations, type JobRotation } from '../../lib/store/questions/jobRotations';
import { jobShimPlans, type JobShimPlan } from '../../lib/store/questions/jobShimPlans';

/** One job worked out in the page from its own readings, with figures typed in their place. */

const verdict = z.enum(codes.verdict);
const real = z.number().nullable();
const timingRow = z.object({
  run: z.int(),
  lift_mm: real,
  lift_uncertainty_mm: real,
  timing_verdict: verdict,
  timing_decision: verdict,
  tolerance_deg: real,
  worst_error_deg: real,
  phasing_verdict: verdict,
});
const phasingRow = z.object({
  run: z.int(),
  element: z.int(),
  error_deg: real,
  verdict,
  plan_mm: real,
  planned_error_deg: real,
});
const deliveryRow = z.object({ run: z.int(), point: z.int(), element: z.int(), mm3_per_stroke: real, verdict });
const pointRow = z.object({
  run: z.int(),
  point: z.int(),
  mean_mm3: real,
  spread: real,
  spread_basis: z.enum(codes.spread_basis),
  mean_uncertainty_mm3: real,
  verdict,
  decision: verdict,
});
const outcomeRow = z.object({
  as_left: verdict,
  as_left_decision: verdict,
  breaking: z.int(),
  weakening: z.int(),
});

interface Halves {
  readonly before_mm: number | null;
  readonly before_second_mm: number | null;
}

export interface WorkedOut {
  readonly timing: readonly z.infer<typeof timingRow>[];
  /** With the stack that lay under the element, where the run has a row of shims for it. */
  readonly phasing: readonly (z.infer<typeof phasingRow> & Halves)[];
  /** Whether the shims come in split pairs. */
  readonly splitPairs: boolean;
  readonly plans: readonly JobShimPlan[];
  readonly deliveries: readonly z.infer<typeof deliveryRow>[];
  readonly points: readonly z.infer<typeof pointRow>[];
  readonly balances: readonly JobBalancePlan[];
  readonly rotations: readonly JobRotation[];
  readonly findings: readonly JobFinding[];
  readonly outcome: z.infer<typeof outcomeRow> | null;
}

/** The columns whose readings can be tried with other figures. */
export type Tried = 'cam_deg' | 'lift_mm' | 'volume_cm3';
export const keyOf = (column: Tried, row: number): string => `${column} ${row}`;
/** A figure typed: the text, the units it was typed in, and what it is in the log's; NaN where it is no reading. */
export interface Edit {
  readonly text: string;
  readonly display: Display;
  readonly value: number;
}
/** Figures typed, by column and row. */
export type Edits = ReadonlyMap<string, Edit>;

/** The unit of each of them in the log. */
export const unitOf = { cam_deg: 'cam_deg', lift_mm: 'mm_fine', volume_cm3: 'cm3' } as const satisfies Record<
  Tried,
  Unit
>;

const tableOf = { cam_deg: tables.closures, lift_mm: tables.closures, volume_cm3: tables.draws } as const;

/** The smallest and largest figure that the log takes for a reading; what lies outside is tried as not read. */
export function limitsOf(column: Tried): readonly [number, number] {
  const fact = tableOf[column].columns.find(({ name }) => name === column);
  return [fact?.min ?? -Infinity, fact?.max ?? Infinity];
}

/** What was typed, as a figure of the log: NaN for none, and for text that is no number or no reading that the log would take. */
export function editOf(column: Tried, text: string, display: Display): Edit {
  const [low, high] = limitsOf(column);
  const value = readTyped(text, unitOf[column], display);
  return { text, display, value: value >= low && value <= high ? value : Number.NaN };
}

/** Whether something was typed that can't be tried. */
export const isRefused = (edit: Edit): boolean => edit.text.trim() !== '' && Number.isNaN(edit.value);

/** The readings with the typed figures in their place; the log's own stay as they are. */
export function withEdits(readings: Readings, edits: Edits): Readings {
  const changed = (column: Tried, logged: Float64Array): Float64Array =>
    logged.map((value, row) => edits.get(keyOf(column, row))?.value ?? value);
  const { closures, draws } = readings;
  return {
    ...readings,
    closures: {
      ...closures,
      cam_deg: changed('cam_deg', closures.cam_deg),
      lift_mm: changed('lift_mm', closures.lift_mm),
    },
    draws: { ...draws, volume_cm3: changed('volume_cm3', draws.volume_cm3) },
  };
}

const known = (value: number | undefined): number | null => (Number.isFinite(value) ? (value ?? null) : null);

function halvesAt({ shims }: Readings, run: number, element: number): Halves {
  const row = shims.run.findIndex((each, k) => each === run && shims.element[k] === element);
  return { before_mm: known(shims.before_mm[row]), before_second_mm: known(shims.before_second_mm[row]) };
}

export function workOut(job: JobReadings, edits: Edits): WorkedOut {
  const results = calibrate(job.specs, withEdits(job.readings, edits), job.gauges);
  const rows = <Row>(table: ResultTable, row: z.ZodType<Row>): Row[] =>
    z.array(row).parse(wordRows(results, table, job));
  const [spec] = job.specs.values();
  const basisOf = (point: unknown): string =>
    spec?.test_points.find((one) => one.point === point)?.spread_basis ?? 'range_mm3';
  return {
    timing: rows('timing', timingRow),
    phasing: rows('phasing', phasingRow).map((row) => ({ ...row, ...halvesAt(job.readings, row.run, row.element) })),
    splitPairs: [job.readings.shims.before_second_mm, job.readings.shims.after_second_mm].some((halves) =>
      halves.some(Number.isFinite),
    ),
    plans: rows('shim_plans', jobShimPlans.row),
    deliveries: rows('deliveries', deliveryRow),
    points: rows('points', pointRow),
    balances: z
      .array(jobBalancePlans.row)
      .parse(wordRows(results, 'balance_plans', job).map((row) => ({ ...row, spread_basis: basisOf(row.point) }))),
    rotations: rows('rotations', jobRotations.row),
    findings: rows('findings', jobFindings.row),
    outcome: rows('outcomes', outcomeRow)[0] ?? null,
  };
}
