import { layout, type ResultTable } from '../calc/layout';
import type { Readings } from '../calc/types';
import type { Results } from '../calc/layout';

/** A table of numbers between database and engine: INTEGER columns as Int32Array, DOUBLE columns as Float64Array. */
export type NumberTable = Readonly<Record<string, Int32Array | Float64Array>>;

/** The parts of a batch, each an answer of the database. */
export const batchParts = ['jobs', 'closures', 'shims', 'draws', 'barrels', 'governor'] as const;
export type BatchPart = (typeof batchParts)[number];
export type Batch<Packed> = Readonly<Record<BatchPart, Packed>>;
/** What the engine answers, table by table. */
export type Answer<Packed> = Readonly<Record<ResultTable, Packed>>;

function whole(table: NumberTable, name: string): Int32Array {
  const column = table[name];
  if (!(column instanceof Int32Array)) throw new TypeError(`Column ${name} is not a column of whole numbers`);
  return column;
}
function real(table: NumberTable, name: string): Float64Array {
  const column = table[name];
  if (!(column instanceof Float64Array)) throw new TypeError(`Column ${name} is not a column of real numbers`);
  return column;
}

/** The engine's input out of the database's answers; throws when a query does not give the columns it should. */
export function readingsOf({ jobs, closures, shims, draws, barrels, governor }: Batch<NumberTable>): Readings {
  const place = (table: NumberTable) => ({
    job_no: whole(table, 'job_no'),
    run: whole(table, 'run'),
    element: whole(table, 'element'),
  });
  return {
    jobs: {
      job_no: whole(jobs, 'job_no'),
      spec_no: whole(jobs, 'spec_no'),
      received_day: whole(jobs, 'received_day'),
      stated_pass: whole(jobs, 'stated_pass'),
    },
    closures: {
      ...place(closures),
      cam_deg: real(closures, 'cam_deg'),
      lift_mm: real(closures, 'lift_mm'),
      preload_mm: real(closures, 'preload_mm'),
      gauge: whole(closures, 'gauge'),
    },
    shims: {
      ...place(shims),
      before_mm: real(shims, 'before_mm'),
      after_mm: real(shims, 'after_mm'),
      before_second_mm: real(shims, 'before_second_mm'),
      after_second_mm: real(shims, 'after_second_mm'),
      stated_change_mm: real(shims, 'stated_change_mm'),
    },
    draws: {
      ...place(draws),
      point: whole(draws, 'point'),
      repeat: whole(draws, 'repeat'),
      volume_cm3: real(draws, 'volume_cm3'),
      strokes: real(draws, 'strokes'),
      speed_rpm: real(draws, 'speed_rpm'),
      rack_mm: real(draws, 'rack_mm'),
      fluid_c: real(draws, 'fluid_c'),
      feed_kpa: real(draws, 'feed_kpa'),
      stated_mm3_per_stroke: real(draws, 'stated_mm3_per_stroke'),
      taken_min: real(draws, 'taken_min'),
      gauge: whole(draws, 'gauge'),
    },
    barrels: { ...place(barrels), rotation_deg: real(barrels, 'rotation_deg') },
    governor: {
      job_no: whole(governor, 'job_no'),
      run: whole(governor, 'run'),
      check: whole(governor, 'check'),
      lever: whole(governor, 'lever'),
      speed_rpm: real(governor, 'speed_rpm'),
      rack_mm: real(governor, 'rack_mm'),
      boost_kpa: real(governor, 'boost_kpa'),
      delivery_mm3: real(governor, 'delivery_mm3'),
    },
  };
}

/** The engine's answer with its columns in the order of the stored tables. */
export function answerOf(results: Results): Answer<NumberTable> {
  const ordered = (name: ResultTable): NumberTable => {
    const table: NumberTable = results[name];
    return Object.fromEntries(
      Object.keys(layout[name].columns).map((column) => {
        const values = table[column];
        if (values === undefined) throw new TypeError(`The engine left out ${name}.${column}`);
        return [column, values];
      }),
    );
  };
  return {
    timing: ordered('timing'),
    phasing: ordered('phasing'),
    shim_plans: ordered('shim_plans'),
    deliveries: ordered('deliveries'),
    points: ordered('points'),
    balance_plans: ordered('balance_plans'),
    rotations: ordered('rotations'),
    leakage: ordered('leakage'),
    governor_checks: ordered('governor_checks'),
    excluded: ordered('excluded'),
    retention: ordered('retention'),
    stages: ordered('stages'),
    outcomes: ordered('outcomes'),
    findings: ordered('findings'),
  };
}
