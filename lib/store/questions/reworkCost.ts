import type { HoursEach, ReworkOfModel } from './reworkByModel';
import type { ReturnHours } from './returnCost';
import type { SecondDraws } from './secondDraws';

/** Lowest and highest; both empty where it cannot be told. */
export interface Span {
  readonly low: number;
  readonly high: number;
}
export interface CostLine {
  readonly of: 'barrels' | 'draws' | 'returns';
  readonly times: Span;
  /** Null where the shop's own hours do not show what one takes. */
  readonly hours: Span | null;
}

/** Hours of so many, each at so many hours: lowest of both to highest of both. */
function hoursOf(times: Span, each: Span | null): Span | null {
  if (times.high === 0) return { low: 0, high: 0 };
  if (each === null || each.low <= 0) return null;
  return { low: times.low * each.low, high: times.high * each.high };
}

/** Barrels that need not have been changed, and the hours that went with them. */
export function spareBarrels(
  barrels: readonly ReworkOfModel[],
  perBarrel: HoursEach,
): { readonly times: Span; readonly hours: Span | null } {
  const times = {
    low: barrels.reduce((sum, row) => sum + row.spare_low, 0),
    high: barrels.reduce((sum, row) => sum + row.spare_high, 0),
  };
  return { times, hours: hoursOf(times, perBarrel.hours) };
}

interface Asked {
  readonly barrels: readonly ReworkOfModel[];
  readonly perBarrel: HoursEach;
  readonly draws: SecondDraws;
  readonly perDraw: HoursEach;
  readonly returns: ReturnHours;
}

/** What rework cost, in three lines. */
export function costLines({ barrels, perBarrel, draws, perDraw, returns }: Asked): CostLine[] {
  const again = { low: draws.low, high: draws.high };
  return [
    { of: 'barrels', ...spareBarrels(barrels, perBarrel) },
    { of: 'draws', times: again, hours: hoursOf(again, perDraw.hours) },
    {
      of: 'returns',
      times: { low: returns.warranty, high: returns.returns },
      hours: { low: returns.low, high: returns.high },
    },
  ];
}

/**
 * All of it as one range. The same hour may stand in two lines, since a barrel that comes off is drawn again and a pump that came back
 * is reworked too: so the lowest is the largest line alone, and the highest all lines added. Lines that cannot be told are left out.
 */
export function costInAll(lines: readonly CostLine[]): Span {
  const told = lines.flatMap(({ hours }) => (hours === null ? [] : [hours]));
  return {
    low: Math.max(0, ...told.map(({ low }) => low)),
    high: told.reduce((sum, { high }) => sum + high, 0),
  };
}

const NO_PARTS: Span = { low: 0, high: 0 };

/** Hours at so much an hour, with parts beside them where there are any: all in one currency. */
export const moneyOf = (hours: Span, perHour: number, parts: Span = NO_PARTS): Span => ({
  low: hours.low * perHour + parts.low,
  high: hours.high * perHour + parts.high,
});
