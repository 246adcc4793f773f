import type { Unit } from '../units/units';
import type { ResultColumns, ResultTable } from './layout';

/** A result column as `table.column`. */
export type ColumnName = { [T in ResultTable]: `${T}.${keyof ResultColumns<T> & string}` }[ResultTable];

export const COMMON_PRACTICE = 'common practice, no source';

/** How a figure is worked out, as pages and docs show it. */
export interface Formula {
  readonly symbol: string;
  /** The formula in the symbols of docs/method.md. */
  readonly text: string;
  readonly unit: Unit;
  /** One sentence. */
  readonly meaning: string;
  /** Where the formula or its assumed value comes from. */
  readonly source: string;
  /** Heading of docs/method.md, as in a link `docs/method.md#anchor`. */
  readonly anchor: string;
  /** The result columns that carry the figure. */
  readonly columns: readonly ColumnName[];
}

/** Every figure shown to a person, by its own name. */
export const formulas = {
  lift: {
    symbol: 'h',
    text: 'h = reading − preload',
    unit: 'mm_fine',
    meaning: 'Plunger lift from bottom dead centre at which the port of the reference element closes.',
    source: 'definition',
    anchor: 'lift-to-port-closure',
    columns: ['timing.lift_mm'],
  },
  lift_band: {
    symbol: 'L − a … L + b',
    text: 'L − a ≤ h ≤ L + b',
    unit: 'mm_fine',
    meaning:
      'The lift may lie from its nominal less the minus tolerance to its nominal and the plus tolerance, ends included.',
    source: 'specification',
    anchor: 'lift-to-port-closure',
    columns: ['timing.low_mm', 'timing.high_mm', 'timing.timing_verdict'],
  },
  lift_error: {
    symbol: 'h − L',
    text: 'h − L',
    unit: 'mm_fine',
    meaning: 'How far the lift is above its nominal; above means that the port closes late.',
    source: 'definition',
    anchor: 'lift-to-port-closure',
    columns: ['timing.lift_error_mm'],
  },
  lift_change: {
    symbol: 'Δs_ref',
    text: 'Δs_ref = σ (L − h)',
    unit: 'mm_fine',
    meaning: "Change of the reference's shims or screw that brings its lift to nominal; plus adds or raises.",
    source: 'definition; σ is +1 for shims under the barrel flange and −1 for shims or a screw in the tappet',
    anchor: 'lift-to-port-closure',
    columns: ['timing.shim_change_mm'],
  },
  nominal_closure: {
    symbol: 'α',
    text: 'α = 360° · place in the firing order / n, or as the specification lists it',
    unit: 'cam_deg',
    meaning: 'Closure that the element should have after the reference.',
    source: 'definition',
    anchor: 'phasing',
    columns: ['phasing.nominal_deg'],
  },
  closure: {
    symbol: 'θ − θ_ref',
    text: 'θ − θ_ref, brought to 0° … 360°',
    unit: 'cam_deg',
    meaning: 'Closure of the element after that of the reference in the same run.',
    source: 'definition',
    anchor: 'phasing',
    columns: ['phasing.closure_deg'],
  },
  phase_error: {
    symbol: 'e',
    text: 'e = θ − θ_ref − α, brought to −180° … 180°',
    unit: 'cam_deg',
    meaning: 'How far the element closes from where it should; minus is early, plus is late.',
    source: 'definition',
    anchor: 'phasing',
    columns: ['phasing.error_deg', 'timing.worst_error_deg', 'outcomes.received_error_deg', 'outcomes.left_error_deg'],
  },
  phase_tolerance: {
    symbol: 'T',
    text: '|e| ≤ T; T = 0.5° where the specification gives none',
    unit: 'cam_deg',
    meaning: 'Phase error allowed either way.',
    source: `specification; the assumed 0.5° is ${COMMON_PRACTICE}`,
    anchor: 'phasing',
    columns: ['timing.tolerance_deg', 'phasing.verdict', 'timing.phasing_verdict'],
  },
  lift_rate: {
    symbol: 'v',
    text: 'v = dh/dθ at h: from the cam lift table, else v = (r₁ + r₂) sec φ tan φ · π/180 with sec φ = 1 + h/(r₁ + r₂), else as stated, else 0.2 mm/°',
    unit: 'mm_per_deg',
    meaning: 'Plunger lift per degree of camshaft where the port closes.',
    source: `monotone cubic: Fritsch and Butland 1984; tangent cam: theory of machines; the assumed 0.2 mm/° is ${COMMON_PRACTICE}`,
    anchor: 'lift-rate',
    columns: ['timing.lift_rate_mm_per_deg', 'timing.lift_rate_basis', 'outcomes.lift_rate_basis'],
  },
  phase_change: {
    symbol: 'Δs',
    text: 'Δs = −σ e v',
    unit: 'mm_fine',
    meaning:
      "Change of the element's shims or screw that takes its phase error away while the reference stays; plus adds or raises.",
    source: 'definition; σ is +1 for shims under the barrel flange and −1 for shims or a screw in the tappet',
    anchor: 'shim-change',
    columns: ['phasing.shim_change_mm'],
  },
  shim_step: {
    symbol: 'Δs′',
    text: 'Δs′ = step · round(Δs / step), or the size on hand nearest to stack + Δs, less the stack',
    unit: 'mm_fine',
    meaning: 'The nearest change that the shims on hand allow.',
    source: COMMON_PRACTICE,
    anchor: 'shim-change',
    columns: ['phasing.shim_step_mm'],
  },
  screw_turns: {
    symbol: 'N',
    text: 'N = Δs / p',
    unit: 'ratio',
    meaning: 'The same change in turns of the tappet screw of pitch p; plus raises the plunger.',
    source: 'definition',
    anchor: 'shim-change',
    columns: ['phasing.screw_turns'],
  },
  change_made: {
    symbol: 's_after − s_before',
    text: 's_after − s_before',
    unit: 'mm_fine',
    meaning: 'Change of the stack that was made after this run, from the stacks written down; plus adds.',
    source: 'definition',
    anchor: 'shim-change',
    columns: ['phasing.made_mm'],
  },
  pair_difference: {
    symbol: '|s₁ − s₂|',
    text: '|s₁ − s₂|',
    unit: 'mm_fine',
    meaning: 'How far the halves of a split pair differ; a difference cocks the barrel.',
    source: COMMON_PRACTICE,
    anchor: 'shim-change',
    columns: ['phasing.pair_difference_mm'],
  },
  delivery: {
    symbol: 'q',
    text: 'q = 1000 V / N, averaged over the draws that count',
    unit: 'mm3_per_stroke',
    meaning: 'Delivery of one element per stroke.',
    source: 'definition of the units: 1 cm³ is 1000 mm³',
    anchor: 'delivery-per-stroke',
    columns: ['deliveries.mm3_per_stroke', 'retention.low_mm3', 'retention.rated_mm3'],
  },
  repeat_range: {
    symbol: 'R',
    text: 'R = largest q − smallest q over the repeats',
    unit: 'mm3_per_stroke',
    meaning: 'How far repeated draws of one element differ.',
    source: 'definition',
    anchor: 'delivery-per-stroke',
    columns: ['deliveries.repeat_range_mm3'],
  },
  window: {
    symbol: 'low … high',
    text: 'low ≤ reading ≤ high; speed ± 1 %, at least ± 5 rpm, where no tolerance is given',
    unit: 'ratio',
    meaning: 'A draw with rack, speed, fluid temperature or feed pressure outside its window does not count.',
    source: `specification; the assumed speed window is ${COMMON_PRACTICE}`,
    anchor: 'what-counts-as-a-draw',
    columns: ['excluded.reading', 'excluded.low', 'excluded.high', 'excluded.reason'],
  },
  mean: {
    symbol: 'q̄',
    text: 'q̄ = Σ q / n',
    unit: 'mm3_per_stroke',
    meaning: 'Mean delivery of the elements; it must lie in the band of the test point.',
    source: 'definition',
    anchor: 'mean-and-spread',
    columns: ['points.mean_mm3', 'points.mean_verdict'],
  },
  deviation: {
    symbol: 'q − q̄',
    text: 'q − q̄',
    unit: 'mm3_per_stroke',
    meaning: 'How far the element delivers above the mean of the elements.',
    source: 'definition',
    anchor: 'mean-and-spread',
    columns: ['deliveries.deviation_mm3'],
  },
  spread: {
    symbol: 'S',
    text: 'S = q_max − q_min, or max |q − q̄|, or either as 100 S / q̄, as the specification says',
    unit: 'ratio',
    meaning: 'How unevenly the elements deliver, on the basis that the specification names.',
    source: 'definition',
    anchor: 'mean-and-spread',
    columns: ['points.spread', 'points.spread_limit', 'points.spread_verdict'],
  },
  retention: {
    symbol: 'ρ',
    text: 'ρ = q at low speed / q at rated speed, at one rack',
    unit: 'ratio',
    meaning:
      'Share of its delivery that an element keeps at low speed, where leakage past a worn plunger has more time.',
    source: COMMON_PRACTICE,
    anchor: 'low-speed-retention',
    columns: ['retention.retention'],
  },
  first_pass: {
    symbol: 'first pass',
    text: 'yes where run 1 is complete and in at every stage, no where any stage of it is out, else not counted',
    unit: 'count',
    meaning: 'Whether the pump was right at the first measurement after assembly, before any correction.',
    source: 'ours',
    anchor: 'first-pass',
    columns: ['stages.first_pass', 'outcomes.first_pass'],
  },
  rate_interval: {
    symbol: 'p_low … p_high',
    text: '(p + z²/2n ± z √(p (1 − p)/n + z²/4n²)) / (1 + z²/n), p = k/n, z = 1.96',
    unit: 'percent',
    meaning: 'Where the true rate may well lie, given how many jobs were counted, at 95 % confidence.',
    source: 'Wilson 1927; Newcombe 1998, method 3',
    anchor: 'rates-and-their-interval',
    columns: [],
  },
} as const satisfies Record<string, Formula>;

export type FormulaName = keyof typeof formulas;
