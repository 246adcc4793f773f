import { placesRead, type Series } from './series';

/** Tests for patterns; see `runTests` for which of them stands where. */
export const runTestNames = [
  'beyond_3_sigma',
  'run_one_side',
  'trend',
  'alternating',
  'two_of_three_beyond_2_sigma',
  'four_of_five_beyond_1_sigma',
  'fifteen_within_1_sigma',
  'eight_beyond_1_sigma',
] as const;
export type RunTest = (typeof runTestNames)[number];

/** Which tests to run, and the lengths of those whose length differs between books. */
export interface RunRules {
  readonly tests: readonly RunTest[];
  readonly runLength: number;
  readonly trendLength: number;
}

/**
 * ISO 7870-2:2013, pattern tests (from memory; the text was not at hand): 1 point beyond 3 sigma; 7 points in a row on one side of
 * the centre; 7 points in a row that rise, or fall, all the way. Its fourth, "an obviously non-random pattern", is for the eye.
 */
export const ISO_7870_2: RunRules = {
  tests: ['beyond_3_sigma', 'run_one_side', 'trend'],
  runLength: 7,
  trendLength: 7,
};

/**
 * All eight, with the lengths of L. S. Nelson, J. Qual. Technol. 16 (1984) 237-239 (as quoted in manuals of statistical programs): 1
 * beyond 3 sigma; 9 on one side; 6 in a trend; 14 alternating; 2 of 3 beyond 2 sigma on one side; 4 of 5 beyond 1 sigma on one
 * side; 15 within 1 sigma; 8 beyond 1 sigma on either side. Earlier ISO 8258:1991 had the same eight (from memory). More tests find more and
 * call wrongly more often.
 */
export const NELSON: RunRules = { tests: runTestNames, runLength: 9, trendLength: 6 };

export interface RunFinding {
  readonly test: RunTest;
  /** Places of the first and the last point of the pattern; one that goes on as points come in is one finding. */
  readonly from: number;
  readonly to: number;
}

type Judge = (window: readonly number[]) => boolean;

const every =
  (holds: (z: number) => boolean): Judge =>
  (window) =>
    window.every(holds);
const eitherWay =
  (holds: (z: number) => boolean): Judge =>
  (window) =>
    window.every(holds) || window.every((z) => holds(-z));
/** At least `wanted` points past `limit` on one side, the newest among them. */
const mostlyPast =
  (wanted: number, limit: number): Judge =>
  (window) =>
    [1, -1].some(
      (sign) => sign * (window.at(-1) ?? NaN) > limit && window.filter((z) => sign * z > limit).length >= wanted,
    );
const steps = (window: readonly number[]): number[] => window.slice(1).map((z, k) => Math.sign(z - (window[k] ?? NaN)));
const rising: Judge = (window) => eitherWay((step) => step > 0)(steps(window));
const alternating: Judge = (window) =>
  steps(window).every((step, k, all) => step !== 0 && (k === 0 || step === -(all[k - 1] ?? NaN)));

function patterns({ runLength, trendLength }: RunRules): Record<RunTest, readonly [length: number, judge: Judge]> {
  return {
    beyond_3_sigma: [1, every((z) => Math.abs(z) > 3)],
    run_one_side: [runLength, eitherWay((z) => z > 0)],
    trend: [trendLength, rising],
    alternating: [14, alternating],
    two_of_three_beyond_2_sigma: [3, mostlyPast(2, 2)],
    four_of_five_beyond_1_sigma: [5, mostlyPast(4, 1)],
    fifteen_within_1_sigma: [15, every((z) => Math.abs(z) < 1)],
    eight_beyond_1_sigma: [8, every((z) => Math.abs(z) > 1)],
  };
}

/** Windows in which the pattern holds; those that follow on one another are one finding. */
function find(test: RunTest, places: readonly number[], scores: readonly number[], rules: RunRules): RunFinding[] {
  const [length, judge] = patterns(rules)[test];
  const found: RunFinding[] = [];
  let held = false;
  for (let end = length; end <= scores.length; end++) {
    const holds = judge(scores.slice(end - length, end));
    const to = places[end - 1] ?? NaN;
    const last = found.at(-1);
    if (holds && held && length > 1 && last !== undefined) found[found.length - 1] = { ...last, to };
    else if (holds) found.push({ test, from: places[end - length] ?? NaN, to });
    held = holds;
  }
  return found;
}

/**
 * Tests for patterns on a series of standardised points (value - centre) / sigma, each with its own sigma where those differ. A point on
 * the centre is on neither side; equal neighbours end a trend. What is not finite is passed over, so a series with sigma 0 has
 * no finding. The trend and the alternation go by the points as given: with unequal sigmas they are not to be used.
 * @param scores standardised points in order
 * @param rules ISO_7870_2 where not stated; lengths from 2
 * @returns findings, by test in the order of the rules, then by place
 */
export function runTests(scores: Series, rules: RunRules = ISO_7870_2): RunFinding[] {
  const places = placesRead(scores);
  const kept = places.map((k) => scores[k] ?? NaN);
  return rules.tests.flatMap((test) => find(test, places, kept, rules));
}

/** Standardised points of a chart: (value - centre) / sigma; NaN where sigma is not above 0. Length as the series. */
export function standardised(values: Series, centre: number, sigma: number | Series): Float64Array {
  return Float64Array.from({ length: values.length }, (_, k) => {
    const own = typeof sigma === 'number' ? sigma : (sigma[k] ?? NaN);
    return own > 0 ? ((values[k] ?? NaN) - centre) / own : NaN;
  });
}
