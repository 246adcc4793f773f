import type { Unit } from '../units/units';

/**
 * The tables that the engine answers with, column by column: the one definition from which result storage, exports and
 * docs/results.md derive. `int` and `code` columns are always filled; a `real` that could not be worked out is empty (NaN
 * inside the engine), and the row's code says why.
 */

/** What a coded column can say, in the order of its numbers. */
export const codes = {
  verdict: ['in', 'out', 'cannot tell', 'not measured'],
  answer: ['yes', 'no', 'not counted'],
  stage: ['timing and phasing', 'test point', 'governor'],
  lift_rate_basis: ['cam lift table', 'cam geometry', 'stated lift rate', 'assumed'],
  spread_basis: ['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent', 'none asked'],
  exclusion: [
    'rack outside its window',
    'speed outside its window',
    'fluid temperature outside its window',
    'feed pressure outside its window',
  ],
  yes_no: ['no', 'yes'],
  plan: ['in already', 'possible', 'closest', 'not measured', 'lift not read', 'incomplete'],
  balance: ['in already', 'turn', 'move the rack', 'not reachable', 'gain unknown', 'incomplete'],
  gain_basis: ['own draws', 'geometry', 'unknown'],
  governor_basis: ['as read', 'interpolated', 'not measured'],
  check_unit: ['mm', 'rpm', 'percent', 'mm3_per_stroke'],
  finding: [
    'shim change stated with the wrong sign',
    'shim changed the wrong way',
    'shim change misreckoned',
    'delivery misreckoned',
    'stated pass, recomputed out',
    'stated fail, recomputed in',
    'superseded revision',
    'gauge past its date',
    'gauge without calibration',
    'draw before the rack was set',
    'speed outside its window',
    'fluid outside its window',
    'feed outside its window',
    'window not recorded',
    'test points out of order',
    'runs out of order',
    'shim changed after the last closure',
    'barrel turned after the last draw',
    'shim changed after the last draw',
    'split pair found uneven',
    'split pair differs',
    'lift not read',
    'element missing',
    'test point missing',
    'timing and phasing missing',
    'governor missing',
    'first measurement missing',
  ],
  severity: ['breaks the proof', 'weakens the proof', 'for information'],
} as const;
export type CodeList = keyof typeof codes;

/** The number of a word in its list, so that no module writes a bare number. */
export function code<L extends CodeList>(listName: L, word: (typeof codes)[L][number]): number {
  return (codes[listName] as readonly string[]).indexOf(word);
}

export type ResultColumn =
  | { readonly type: 'int'; readonly meaning: string }
  | { readonly type: 'code'; readonly list: CodeList; readonly meaning: string }
  | { readonly type: 'real'; readonly unit: Unit; readonly meaning: string };

const int = (meaning: string) => ({ type: 'int', meaning }) as const;
const coded = <L extends CodeList>(list: L, meaning: string) => ({ type: 'code', list, meaning }) as const;
const real = (unit: Unit, meaning: string) => ({ type: 'real', unit, meaning }) as const;

const job = { job_no: int('Number of the job in this log; job_id in every view and export') } as const;
const jobRun = {
  ...job,
  run: int('0 as received, 1 first measurement after assembly, 2 and on after corrections'),
} as const;
const element = { element: int('Element, counted from the drive end') } as const;
const point = { point: int('Number of the test point; its name in every view and export') } as const;
const check = { check: int('Number of the check; its name in every view and export') } as const;

export const layout = {
  timing: {
    row: 'the reference lift and the phasing as a whole, in one run',
    columns: {
      ...jobRun,
      lift_mm: real('mm_fine', 'Lift to port closure of the reference element, gauge preload taken off'),
      low_mm: real('mm_fine', 'Lowest lift allowed'),
      high_mm: real('mm_fine', 'Highest lift allowed'),
      lift_error_mm: real('mm_fine', 'Lift less its nominal; positive closes late'),
      shim_change_mm: real('mm_fine', "Change of the reference's stack that brings the lift to nominal; positive adds"),
      timing_verdict: coded('verdict', 'Whether the reference lift lies in its band'),
      lift_rate_mm_per_deg: real(
        'mm_per_deg',
        'Plunger lift per degree of camshaft at closure, used for every shim change',
      ),
      lift_rate_basis: coded('lift_rate_basis', 'Where the lift rate comes from'),
      tolerance_deg: real('cam_deg', 'Phase error allowed either way'),
      tolerance_assumed: coded(
        'yes_no',
        'Whether the specification gives no tolerance, so that 0.5 degrees was assumed',
      ),
      elements_measured: int('Elements whose closure was read in this run'),
      worst_error_deg: real('cam_deg', 'Largest phase error of the run by size, with its sign'),
      worst_element: int('The element that has it; 0 where none was measured'),
      phasing_verdict: coded('verdict', 'Whether every element closes within tolerance'),
      lift_uncertainty_mm: real('mm_fine', 'Expanded uncertainty of the lift; empty where its gauge states none'),
      timing_decision: coded('verdict', 'The same with that uncertainty; plain comparison where there is none'),
      phasing_decision: coded('verdict', 'Phasing with the uncertainty of the phase errors, likewise'),
    },
  },
  phasing: {
    row: "one element's port closure in one run, or the change of its stack after it",
    columns: {
      ...jobRun,
      ...element,
      closure_deg: real('cam_deg', "Closure after the reference's, from 0 to below 360"),
      nominal_deg: real('cam_deg', 'Nominal closure after the reference'),
      error_deg: real('cam_deg', 'Phase error; negative is early, positive is late'),
      shim_change_mm: real(
        'mm_fine',
        'Change of the stack that takes the error away, the reference staying; positive adds',
      ),
      shim_step_mm: real(
        'mm_fine',
        'The same, to the nearest change that shims on hand allow; empty where it would leave no stack',
      ),
      screw_turns: real('ratio', 'The same in turns of the tappet screw, where closure is set by one; positive raises'),
      made_mm: real(
        'mm_fine',
        'Change that was made after this run, from the stacks written down, of a split pair the mean of its halves; positive adds',
      ),
      pair_difference_mm: real('mm_fine', 'How far the halves of a split pair differ: after the change, else as found'),
      verdict: coded('verdict', 'Whether the error is within tolerance'),
      error_uncertainty_deg: real('cam_deg', 'Expanded uncertainty of the error; empty where the gauge states none'),
      change_uncertainty_mm: real('mm_fine', 'The same of the change that takes the error away'),
      decision: coded('verdict', 'The verdict with that uncertainty; plain comparison where there is none'),
      plan_mm: real('mm_fine', 'Change that the least-rework plan makes here; positive adds, or raises the screw'),
      planned_error_deg: real('cam_deg', 'Phase error after the plan'),
    },
  },
  shim_plans: {
    row: 'the least-rework shim plan after one run, beside what was done',
    columns: {
      ...jobRun,
      status: coded('plan', 'What the plan comes to'),
      barrels: int('Barrels (or tappets) that the plan changes'),
      moved_mm: real('mm_fine', 'Sum of the sizes of its changes'),
      lift_after_mm: real('mm_fine', 'Reference lift after the plan'),
      worst_after_deg: real('cam_deg', 'Largest phase error after the plan, by size'),
      step_mm: real('mm_fine', 'Step that the plan goes by; empty where it goes by sizes on hand'),
      step_assumed: coded('yes_no', 'Whether the step was assumed'),
      done_barrels: int('Barrels that were changed after this run'),
      done_mm: real('mm_fine', 'Sum of the sizes of those changes'),
    },
  },
  deliveries: {
    row: 'one element at one test point in one run',
    columns: {
      ...jobRun,
      ...point,
      ...element,
      mm3_per_stroke: real('mm3_per_stroke', 'Delivery per stroke, the mean of the draws that count'),
      draws: int('Draws that count'),
      excluded: int('Draws that do not count'),
      repeat_range_mm3: real(
        'mm3_per_stroke',
        'Largest less smallest of the draws that count, where there are two or more',
      ),
      deviation_mm3: real('mm3_per_stroke', 'Delivery less the mean of the elements'),
      verdict: coded('verdict', 'Whether the delivery itself lies in the band of the test point'),
      at_reference_mm3: real(
        'mm3_per_stroke',
        'Delivery brought to the reference temperature; empty where density or temperature is not known',
      ),
      uncertainty_mm3: real(
        'mm3_per_stroke',
        'Expanded uncertainty from the graduate and the repeats; empty where the graduate states none',
      ),
    },
  },
  points: {
    row: 'one test point in one run',
    columns: {
      ...jobRun,
      ...point,
      elements_measured: int('Elements with at least one draw that counts'),
      mean_mm3: real('mm3_per_stroke', 'Mean delivery of the elements'),
      low_mm3: real('mm3_per_stroke', 'Lowest mean allowed'),
      high_mm3: real('mm3_per_stroke', 'Highest mean allowed'),
      mean_verdict: coded('verdict', 'Whether the mean lies in its band'),
      spread: real('ratio', 'Spread over the elements, on the basis that the specification names'),
      spread_limit: real('ratio', 'Largest spread allowed'),
      spread_basis: coded('spread_basis', 'How the spread is reckoned'),
      spread_verdict: coded('verdict', 'Whether the spread is allowed; not measured where none is asked'),
      unchecked: int('Window readings that the specification asks for and the draws lack'),
      speed_tolerance_assumed: coded('yes_no', 'Whether the speed window was assumed'),
      verdict: coded('verdict', 'The test point as a whole'),
      mean_at_reference_mm3: real('mm3_per_stroke', 'Mean delivery brought to the reference temperature'),
      reference_assumed: coded('yes_no', 'Whether that temperature was assumed to be 40 degrees C'),
      mean_uncertainty_mm3: real('mm3_per_stroke', 'Expanded uncertainty of the mean'),
      spread_uncertainty: real('ratio', 'Expanded uncertainty of the spread, in its unit'),
      decision: coded('verdict', 'The test point with those uncertainties; plain comparison where there are none'),
      scatter_percent: real('percent', 'Standard deviation over the elements, in percent of their mean'),
    },
  },
  balance_plans: {
    row: 'the least-rework balance plan at the base test point after one run, beside what was done',
    columns: {
      ...jobRun,
      ...point,
      status: coded('balance', 'What the plan comes to'),
      turned: int('Elements that must be turned with the rack where it is'),
      turned_with_rack: int('Elements that must be turned where the rack may move first'),
      target_mm3: real('mm3_per_stroke', 'Delivery that the turned elements are set to'),
      rack_move_mm: real('mm_fine', 'Rack move of the plan; positive is more fuel'),
      mean_after_mm3: real('mm3_per_stroke', 'Mean after the plan'),
      spread_after: real('ratio', 'Spread after the plan, on the basis that the specification names'),
      per_degree_mm3: real('mm3_per_stroke', 'Gain per degree of barrel rotation'),
      per_degree_basis: coded('gain_basis', 'Where that gain comes from'),
      per_rack_mm3: real('mm3_per_stroke', 'Gain per mm of rack'),
      per_rack_basis: coded('gain_basis', 'Where that gain comes from'),
      gain_ratio: real('ratio', "Gain from the job's own draws over gain from geometry"),
      done_turned: int('Elements that were turned after this run'),
      done_deg: real('deg', 'Sum of the sizes of those rotations'),
    },
  },
  rotations: {
    row: "one element's rotation: planned after one run, and as made",
    columns: {
      ...jobRun,
      ...element,
      planned_deg: real('deg', 'Rotation of the plan; positive raises delivery'),
      planned_mm3: real('mm3_per_stroke', 'Delivery after the plan'),
      made_deg: real('deg', 'Rotation that was made after this run'),
      used_deg: real('deg', 'What the job had turned the element before, with its sign'),
      slot_left_deg: real('deg', 'Rotation left before the slot ends, the barrel taken to have begun at mid-slot'),
      past_slot: coded('yes_no', 'Whether the plan would run past the end of the slot'),
    },
  },
  leakage: {
    row: "one element's leak slope in one run, over the speeds drawn at one rack",
    columns: {
      ...jobRun,
      ...element,
      rack_mm: real('mm', 'Nominal rack of those test points'),
      speeds: int('Test points behind it'),
      intercept_mm3: real('mm3_per_stroke', 'Delivery that the line gives at very high speed'),
      slope_mm3_rpm: real('ratio', 'Leak slope, in mm3/stroke times rpm'),
      clearance_um: real('um', 'Equivalent clearance on the radius; an upper bound, 0 where no leakage shows'),
    },
  },
  governor_checks: {
    row: 'one band of a governor or accessory check in one run',
    columns: {
      ...jobRun,
      ...check,
      at_rpm: real('rpm', 'Speed at which the band holds'),
      at_boost_kpa: real('kpa', 'Boost pressure at which the band holds'),
      value: real('ratio', 'What was found, in the unit of the band'),
      low: real('ratio', 'Lowest allowed'),
      high: real('ratio', 'Highest allowed'),
      unit: coded('check_unit', 'Unit of the band'),
      basis: coded('governor_basis', 'How the value was found'),
      readings: int('Readings that it rests on'),
      verdict: coded('verdict', 'Whether it lies in the band'),
    },
  },
  excluded: {
    row: 'one reason why one draw does not count',
    columns: {
      ...jobRun,
      ...point,
      ...element,
      repeat: int('Which draw it is'),
      reason: coded('exclusion', 'Why it does not count'),
      reading: real('ratio', 'What was read, in the unit of the window'),
      low: real('ratio', 'Lower end of the window'),
      high: real('ratio', 'Upper end of the window'),
    },
  },
  retention: {
    row: "one element's low-speed retention in one run",
    columns: {
      ...jobRun,
      ...element,
      low_point: int('Number of the low-speed test point'),
      rated_point: int('Number of the test point it is held against, at the same rack'),
      low_mm3: real('mm3_per_stroke', 'Delivery at low speed'),
      rated_mm3: real('mm3_per_stroke', 'Delivery at rated speed'),
      retention: real('ratio', 'Delivery at low speed over delivery at rated speed'),
    },
  },
  stages: {
    row: 'one stage of one job: timing and phasing together, one test point, or the governor with its accessories',
    columns: {
      ...job,
      stage: coded('stage', 'The stage'),
      point: int('Number of the test point; -1 for the other stages'),
      runs: int('Runs in which the stage was measured'),
      first_verdict: coded('verdict', 'Verdict of run 1'),
      first_pass: coded('answer', 'Whether run 1 was in; not counted without a complete run 1'),
      as_left_run: int('The last run measured; -1 where there is none'),
      as_left: coded('verdict', 'Verdict of that run'),
      changes: int('Changes of an element after a run from 1 on; an element changed twice counts twice'),
      needless_changes: int('Those of them made although the run was in'),
    },
  },
  outcomes: {
    row: 'one job as a whole',
    columns: {
      ...job,
      first_pass: coded('answer', 'Whether every stage that the specification asks for was in at run 1'),
      stages_asked: int('Stages that the specification asks for'),
      stages_counted: int('Those of them that have a complete run 1'),
      as_left: coded('verdict', 'Whether every stage asked for was in at its last run'),
      received_error_deg: real('cam_deg', 'Largest phase error as received, with its sign'),
      left_error_deg: real('cam_deg', 'Largest phase error as left, with its sign'),
      lift_rate_basis: coded('lift_rate_basis', 'Where the lift rate comes from'),
      tolerance_assumed: coded('yes_no', 'Whether the phasing tolerance was assumed'),
      excluded_draws: int('Draws that do not count'),
      as_left_decision: coded('verdict', 'As left, with the uncertainty of the gauges where it is stated'),
      breaking: int('Findings that break the proof of this calibration'),
      weakening: int('Findings that weaken it'),
    },
  },
  findings: {
    row: 'one thing that does not agree in one job: between what was recorded and what follows from it, or with the order of work',
    columns: {
      ...job,
      finding: coded('finding', 'What it is'),
      severity: coded('severity', 'What it means for the proof of the calibration'),
      run: int('The run that it concerns; -1 for the job as a whole'),
      point: int('Number of the test point that it concerns; -1 for none'),
      element: int('The element that it concerns; 0 for none or several'),
      stated: real('ratio', 'What was written down, in the unit of the reading'),
      recomputed: real('ratio', 'What follows from the readings, or the limit, in the same unit'),
      rows: int('Rows of the log behind it'),
    },
  },
} as const satisfies Record<string, { row: string; columns: Record<string, ResultColumn> }>;

export type Layout = typeof layout;
export type ResultTable = keyof Layout;
export const resultTables = Object.keys(layout) as ResultTable[];

type Cell<C> = C extends { type: 'real' } ? Float64Array : Int32Array;
/** A result table as columns of equal length. */
export type ResultColumns<T extends ResultTable> = {
  readonly [K in keyof Layout[T]['columns']]: Cell<Layout[T]['columns'][K]>;
};
/** Everything the engine has to say about some jobs. */
export type Results = { readonly [T in ResultTable]: ResultColumns<T> };

/** Raised whenever a formula changes its answers: a job worked out by another version is worked out again. */
export const ENGINE_VERSION = 4;
