import { quantileInterval } from '../stats/quantiles';
import { alikeRows } from './alike';
import { keyOf, placeOfRow, type Place } from './groups';
import type { Prepared } from './prepare';
import { FEWEST_FOR_RATE } from './settings';
import type { Added, Asked, Between, ExtraKind, NotEnough } from './types';

/** Four intervals, of hours and parts with the extra and without it, that hold together at 95 % (Bonferroni). */
const CONFIDENCE = 1 - 0.05 / 4;

type Value = (row: number) => number;

function medianOf(values: readonly number[]): Between | null {
  const told = quantileInterval(values, 0.5, CONFIDENCE);
  return told === null ? null : { figure: told.quantile, low: told.low, high: told.high };
}

/** Jobs without the extra by model and work, where there are FEWEST_FOR_RATE of them. */
function basesOf({ history }: Prepared, rows: readonly number[]): ReadonlyMap<number, readonly number[]> {
  const found = new Map<number, number[]>();
  for (const row of rows) {
    const key = keyOf('model', placeOfRow(history, row));
    const had = found.get(key);
    if (had === undefined) found.set(key, [row]);
    else had.push(row);
  }
  return new Map([...found].filter(([key, { length }]) => key >= 0 && length >= FEWEST_FOR_RATE));
}

/**
 * The median of what each job took more than the median of its base. Its ends hold the chance in the bases as well: each is told from the end
 * of the base's interval on the other side.
 */
function difference(withIt: readonly (readonly [row: number, base: readonly number[]])[], of: Value): Between | null {
  const bases = new Map<readonly number[], Between | null>();
  const baseOf = (rows: readonly number[]): Between | null => {
    const had = bases.get(rows);
    if (had !== undefined) return had;
    const told = medianOf(rows.map(of));
    bases.set(rows, told);
    return told;
  };
  const against = (end: keyof Between): Between | null =>
    medianOf(withIt.map(([row, base]) => of(row) - (baseOf(base)?.[end] ?? NaN)));
  const [middle, least, most] = [against('figure'), against('high'), against('low')];
  return middle === null || least === null || most === null
    ? null
    : { figure: middle.figure, low: least.low, high: most.high };
}

/**
 * What an extra adds to a job: labour [h] and parts [chosen currency, today's money] of past jobs with it, each less the median of the jobs of
 * its own model and work without it; from the nearest group that has FEWEST_FOR_RATE such jobs. See docs/quote.md.
 */
export function addedBy(prepared: Prepared, place: Place, asked: Asked, kind: ExtraKind): Added {
  const { history, parts, choices, known } = prepared;
  const told = history[kind];
  const tells = (row: number) => (history.labourHours[row] ?? NaN) > 0 && Number.isFinite(parts[row]);
  const bases = basesOf(
    prepared,
    known.filter((row) => told[row] === 0 && tells(row)),
  );
  const baseOf = (row: number) => bases.get(keyOf('model', placeOfRow(history, row)));
  const { rows, group, borrowed } = alikeRows(
    prepared,
    place,
    asked,
    (row) => told[row] === 1 && tells(row) && baseOf(row) !== undefined,
  );
  const withIt = rows.map((row) => [row, baseOf(row) ?? []] as const);
  const [n, against] = [rows.length, [...new Set(withIt.map(([, base]) => base))].flat().length];
  const least = { n, against, group, borrowed, hours: null, parts: null, cost: null };
  if (n < FEWEST_FOR_RATE) {
    const any = known.some((row) => told[row] === 1 && (place.work < 0 || history.work[row] === place.work));
    return { ...least, notEnough: any ? 'too few past jobs' : 'no past jobs' };
  }
  const hours = difference(withIt, (row) => history.labourHours[row] ?? NaN);
  const fitted = difference(withIt, (row) => parts[row] ?? NaN);
  const { hourRate } = choices;
  const atRate = (end: keyof Between) => (hours?.[end] ?? NaN) * (hourRate ?? NaN) + (fitted?.[end] ?? NaN);
  const cost = { figure: atRate('figure'), low: atRate('low'), high: atRate('high') };
  const notEnough: NotEnough | null = hourRate === null ? 'no rate set' : cost.low > 0 ? null : 'no clear difference';
  return { ...least, hours, parts: fitted, cost: notEnough === null ? cost : null, notEnough };
}
