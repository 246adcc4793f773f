import { D2_OF_TWO } from './chartConstants';
import { movingRanges } from './individuals';
import { moments } from './moments';
import { placesOutside, type Series } from './series';

/** A chart of a rate counted per period; the arrays are as long as the series. */
export interface RateChart {
  /** Rate over all periods together. */
  readonly centre: number;
  /** Rate of each period; NaN where nothing counts. */
  readonly rates: Float64Array;
  /** Scatter of each period's rate if the true rate never changed: by counting alone, before any correction. */
  readonly sigma: Float64Array;
  /** What sigma was multiplied by for the limits: 1 on a plain chart; Laney's sigma_z, NaN where that can't be told. */
  readonly sigmaZ: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Places of points outside their own limits. */
  readonly out: readonly number[];
}

interface Counted {
  readonly counts: Series;
  /** How many it was counted over: jobs, or area of opportunity. NaN where the period does not count. */
  readonly over: Float64Array;
  readonly centre: number;
  /** Scatter of a count of one over one; divided by the root of `over`. */
  readonly unitSigma: number;
  readonly most: number;
}

function chart({ counts, over, centre, unitSigma, most }: Counted, corrected: boolean): RateChart {
  const rates = over.map((size, k) => (counts[k] ?? NaN) / size);
  const sigma = over.map((size) => unitSigma / Math.sqrt(size));
  const sigmaZ = corrected ? spreadOfScores(rates, centre, sigma) : 1;
  const factor = 3 * (Number.isNaN(sigmaZ) ? 1 : sigmaZ);
  const low = sigma.map((s) => Math.max(0, centre - factor * s));
  const high = sigma.map((s) => Math.min(most, centre + factor * s));
  const out = placesOutside(
    rates,
    (k) => low[k] ?? NaN,
    (k) => high[k] ?? NaN,
  );
  return { centre, rates, sigma, sigmaZ, low, high, out };
}

/** Laney's sigma_z: mean moving range of the standardised rates over d2; NaN for fewer than two, or where nothing varies by counting. */
function spreadOfScores(rates: Float64Array, centre: number, sigma: Float64Array): number {
  const scores = rates.map((rate, k) => (rate - centre) / (sigma[k] ?? NaN));
  return moments(movingRanges(scores)).mean / D2_OF_TWO;
}

/** Sums of what counts; NaN in place of a period that does not. */
function overCounted(counts: Series, over: Series, counted: (count: number, size: number) => boolean) {
  const kept = Float64Array.from({ length: counts.length }, (_, k) => {
    const size = over[k] ?? NaN;
    return counted(counts[k] ?? NaN, size) ? size : NaN;
  });
  let all = 0;
  let size = 0;
  kept.forEach((one, k) => {
    if (Number.isNaN(one)) return;
    all += counts[k] ?? 0;
    size += one;
  });
  return { kept, centre: size > 0 ? all / size : NaN };
}

const isShare = (successes: number, trials: number): boolean =>
  Number.isInteger(successes) && Number.isInteger(trials) && trials > 0 && successes >= 0 && successes <= trials;

function shares(successes: Series, trials: Series, corrected: boolean): RateChart | null {
  const { kept, centre } = overCounted(successes, trials, isShare);
  if (Number.isNaN(centre)) return null;
  const unitSigma = Math.sqrt(centre * (1 - centre));
  return chart({ counts: successes, over: kept, centre, unitSigma, most: 1 }, corrected);
}

/**
 * p-chart of shares with periods of any size: limits p +/- 3 sqrt(p (1 - p) / n_i), cut at 0 and 1. Source: NIST/SEMATECH e-Handbook
 * 6.3.3.2; ISO 7870-2. A share that never varies (all 0 or all 1) has sigma 0 and no point out. With few jobs a period (n p below
 * about 5) the normal limits are rough.
 * @param successes whole numbers, one a period
 * @param trials whole numbers, as many; a period without trials, or whose counts are no share, is NaN and never out
 * @returns null where no period counts
 */
export function pChart(successes: Series, trials: Series): RateChart | null {
  return shares(successes, trials, false);
}

/**
 * Laney's p'-chart: the p-chart's limits widened or narrowed by sigma_z, the mean moving range of the standardised shares
 * z_i = (p_i - p) / sigma_i over d2. Source: D. B. Laney, Quality Engineering 14 (2002) 531-537 (from memory). For periods of many jobs,
 * where the rate itself wanders a little and the plain limits call too often. Where sigma_z can't be told (one period, or a share that
 * never varies) the limits are the plain ones.
 * @param successes as for pChart
 * @param trials as for pChart
 */
export function laneyPChart(successes: Series, trials: Series): RateChart | null {
  return shares(successes, trials, true);
}

/**
 * u-chart of counts per opportunity: limits u +/- 3 sqrt(u / a_i), cut at 0. Source: ISO 7870-2 (from memory); counts taken as Poisson.
 * @param counts whole numbers from 0, one a period (findings, say)
 * @param areas opportunities of each, above 0 (jobs, say); a period with other figures is NaN and never out
 * @param laney whether to correct by sigma_z (Laney's u'-chart)
 * @returns null where no period counts
 */
export function uChart(counts: Series, areas: Series, laney = false): RateChart | null {
  const whole = (count: number, area: number) =>
    Number.isInteger(count) && count >= 0 && area > 0 && Number.isFinite(area);
  const { kept, centre } = overCounted(counts, areas, whole);
  if (Number.isNaN(centre)) return null;
  return chart({ counts, over: kept, centre, unitSigma: Math.sqrt(centre), most: Infinity }, laney);
}
