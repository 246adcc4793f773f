import { seasonOfMonth, seasons } from '../../lib/find/observations';
import type { Filters } from '../../lib/store/filters';
import { modelOfElement, type TrendPeriod, type TrendSplit } from '../../lib/store/questions/trendPeriods';
import { address } from '../_shell/useFilters';
import { lastDay } from './words';

/** The filters narrowed to some days, both ends included. */
function narrowedTo(filters: Filters, first: string, last: string): Filters {
  return {
    ...filters,
    from: filters.from !== null && filters.from > first ? filters.from : first,
    to: filters.to !== null && filters.to < last ? filters.to : last,
  };
}

/** The filters narrowed to one month or quarter, by its first day. */
export const within = (filters: Filters, period: TrendPeriod, first: string): Filters =>
  narrowedTo(filters, first, lastDay(period, first));

/** The filters narrowed to the months of a quarter that are in a season: no quarter has one in two pieces. */
function withinSeason(filters: Filters, period: TrendPeriod, first: string, season: string): Filters {
  const year = first.slice(0, 4);
  const start = Number(first.slice(5, 7));
  const firsts = Array.from({ length: period === 'month' ? 1 : 3 }, (_, k) => start + k)
    .filter((month) => seasons[seasonOfMonth(month)] === season)
    .map((month) => `${year}-${String(month).padStart(2, '0')}-01`);
  return narrowedTo(filters, firsts[0] ?? first, lastDay('month', firsts.at(-1) ?? first));
}

/** Where a point leads to: the jobs of its month or quarter and of its part. */
export function jobsOf(filters: Filters, split: TrendSplit, part: string, period: TrendPeriod, first: string): string {
  const narrowed = within(filters, period, first);
  switch (split) {
    case 'none':
      return address('/jobs/', narrowed);
    case 'model':
    case 'bench':
    case 'work':
      return address('/jobs/', { ...narrowed, [split]: part });
    case 'season':
      return address('/jobs/', withinSeason(filters, period, first, part));
    case 'element':
      return address('/jobs/', { ...narrowed, model: modelOfElement(part) });
    case 'branch':
    case 'complaint':
    case 'batch':
    case 'gauge':
    case 'technician':
      return address('/jobs/', narrowed, { [split]: part });
  }
}
