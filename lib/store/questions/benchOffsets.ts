import { group } from 'd3-array';
import { z } from 'zod';
import { changeOfMean } from '../../stats/changePoint';
import { moments } from '../../stats/moments';
import { groupOffsets } from '../../stats/welch';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { namesIn, namesOf, numbersIn, numbersOf } from './returnVisits';
import { int, maybeText } from './rows';

/** Fewer readings of a bench in all are not told (ours), nor fewer in one quarter, nor fewer of a model and type of work. */
export const FEWEST_ON_BENCH = 10;
export const FEWEST_IN_QUARTER = 5;
const FEWEST_ALIKE = 3;
/** A change of level is told at this p: several benches are searched. */
const CLEAR = 0.01;

/** How much a bench reads over the mean of the others [percent of the delivery], with its interval. */
export interface BenchOffset {
  readonly bench_id: string;
  /** Jobs read on it. */
  readonly n: number;
  readonly offset: number;
  readonly low: number;
  readonly high: number;
}
export interface QuarterOffset extends BenchOffset {
  /** First day of the quarter. */
  readonly quarter: string;
}
/** A bench whose offset moved to a new level. */
export interface BenchChange {
  readonly bench_id: string;
  /** First quarter of the new level. */
  readonly quarter: string;
  readonly p: number;
  readonly before: BenchOffset | null;
  readonly since: BenchOffset | null;
}
export interface BenchOffsets {
  /** All offsets of the log together hold at 95 %. */
  readonly benches: readonly BenchOffset[];
  readonly quarters: readonly QuarterOffset[];
  /** The clearest change first. */
  readonly changes: readonly BenchChange[];
  /** Benches with fewer readings than are told. */
  readonly thin: readonly string[];
  /** Readings that could be held against another bench, and all that were read as received at the base point. */
  readonly n: number;
  readonly read: number;
}

interface Reading {
  readonly bench: string;
  readonly quarter: string;
  readonly value: number;
}

/** Offsets of the benches that have at least `least` of the readings; none where fewer than two have. */
function offsetsOf(readings: readonly Reading[], least: number, together: boolean): BenchOffset[] {
  const byBench = group(readings, ({ bench }) => bench);
  const told = [...byBench].filter(([, own]) => own.length >= least).toSorted(([a], [b]) => a.localeCompare(b));
  const offsets = groupOffsets(
    told.map(([, own]) => own.map(({ value }) => value)),
    1 - 0.05 / (together ? told.length : 1),
  );
  return told.flatMap(([bench_id, own], k) => {
    const found = offsets[k];
    return found === null || found === undefined
      ? []
      : [{ bench_id, n: own.length, offset: found.offset, ...found.interval }];
  });
}

function changeOf(bench_id: string, own: readonly QuarterOffset[], readings: readonly Reading[]): BenchChange[] {
  const change = changeOfMean(own.map(({ offset }) => offset));
  const quarter = change === null ? undefined : own[change.at]?.quarter;
  if (change === null || quarter === undefined || change.p > CLEAR) return [];
  const side = (keep: (reading: Reading) => boolean): BenchOffset | null =>
    offsetsOf(readings.filter(keep), FEWEST_ON_BENCH, true).find((row) => row.bench_id === bench_id) ?? null;
  const before = side((reading) => reading.quarter < quarter);
  const since = side((reading) => reading.quarter >= quarter);
  return [{ bench_id, quarter, p: change.p, before, since }];
}

/** Size of a step between levels, 0 where a side is not told. */
const step = ({ before, since }: BenchChange): number =>
  before === null || since === null ? 0 : Math.abs(since.offset - before.offset);

function told(readings: readonly Reading[], read: number): BenchOffsets {
  const benches = offsetsOf(readings, FEWEST_ON_BENCH, true);
  const names = new Set(benches.map(({ bench_id }) => bench_id));
  const kept = readings.filter(({ bench }) => names.has(bench));
  const quarters = [...group(kept, ({ quarter }) => quarter)]
    .toSorted(([a], [b]) => a.localeCompare(b))
    .flatMap(([quarter, own]) => offsetsOf(own, FEWEST_IN_QUARTER, false).map((row) => ({ ...row, quarter })));
  const changes = benches.flatMap(({ bench_id }) =>
    changeOf(
      bench_id,
      quarters.filter((row) => row.bench_id === bench_id),
      kept,
    ),
  );
  return {
    benches,
    quarters,
    changes: changes.toSorted((a, b) => step(b) - step(a)),
    thin: [...new Set(readings.map(({ bench }) => bench))].filter((bench) => !names.has(bench)).toSorted(),
    n: moments(kept.map(({ value }) => value)).n,
    read,
  };
}

const row = z
  .object({ read: int, benches: maybeText, quarters: maybeText, percents: maybeText })
  .transform(({ read, benches, quarters, percents }): BenchOffsets => {
    const [names, days, values] = [namesOf(benches), namesOf(quarters), numbersOf(percents)];
    return told(
      names.map((bench, k) => ({ bench, quarter: days[k] ?? '', value: values[k] ?? NaN })),
      read,
    );
  });

/**
 * Offsets between benches from pumps alike: mean delivery as received at the base point against the middle of its band, taken off the
 * level of the same model and type of work. That level is the mean of the benches' own means, so that a bench with most of the
 * jobs does not set it. One row.
 */
export const benchOffsets = question<Filters, BenchOffsets>(
  'benchOffsets',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  reading as (
    select p.job_no, p.bench_id, p.pump_model, p.work_type, p.quarter,
      100 * (r.mean_mm3 / ((r.low_mm3 + r.high_mm3) / 2) - 1) as percent
    from picked p join base_means r on r.job_no = p.job_no and r.run = 0
    where p.bench_id is not null and r.low_mm3 + r.high_mm3 > 0
  ), alike as (
    select pump_model, work_type, bench_id, avg(percent) as mean from reading
    group by pump_model, work_type, bench_id having count(*) >= ${FEWEST_ALIKE}
  ), level as (
    select pump_model, work_type, avg(mean) as centre from alike group by pump_model, work_type having count(*) >= 2
  ), off as (
    select r.job_no, r.bench_id, r.quarter::varchar as quarter, r.percent - l.centre as percent
    from reading r join level l using (pump_model, work_type) semi join alike a using (pump_model, work_type, bench_id)
  )
  select (select count(*)::integer from reading) as read, ${namesIn('bench_id', 'job_no')} as benches,
    ${namesIn('quarter', 'job_no')} as quarters, ${numbersIn('percent', 'job_no')} as percents from off`,
);
