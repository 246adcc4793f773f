import { group } from 'd3-array';
import { z } from 'zod';
import { anovaOneWay } from '../../stats/anovaOneWay';
import type { CrossedReading } from '../../stats/crossed';
import { gaugeAnova, type GaugeStudy } from '../../stats/gaugeAnova';
import { varianceInterval } from '../../stats/varianceIntervals';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { namesIn, namesOf, numbersIn, numbersOf } from './returnVisits';
import { maybeReal, maybeText } from './rows';

/** Pumps that a study of benches needs (ours; ten are common practice). */
export const FEWEST_PUMPS = 5;
/** Jobs with a repeat that the scatter within jobs needs (ours). */
export const FEWEST_REPEATED = 10;

export interface BenchStudy {
  /** Null where too few pumps were read on the same benches. */
  readonly study: GaugeStudy | null;
  /** Pumps that were tested on two benches or more, untouched in between, whether or not they make a study. */
  readonly pumps: number;
  readonly benches: readonly string[];
}

/** The largest part of the readings that is crossed: the pumps that were read on one and the same set of benches, as often each. */
export function crossedPart(readings: readonly CrossedReading[]): CrossedReading[] {
  const byPump = [...group(readings, ({ part }) => part).values()];
  const benchesOf = (own: readonly CrossedReading[]): string =>
    [...new Set(own.map(({ operator }) => String(operator)))].toSorted().join('\u001f');
  const sets = [...group(byPump, benchesOf)].filter(([set]) => set.includes('\u001f'));
  const largest = sets.map(([, pumps]) => pumps).toSorted((a, b) => b.length - a.length)[0] ?? [];
  const cells = largest.flatMap((own) => [...group(own, ({ operator }) => operator).values()]);
  const trials = Math.min(...cells.map((cell) => cell.length));
  return cells.flatMap((cell) => cell.slice(0, trials));
}

const studyRow = z
  .object({ pumps: maybeText, benches: maybeText, percents: maybeText })
  .transform(({ pumps, benches, percents }): BenchStudy => {
    const [names, on, values] = [namesOf(pumps), namesOf(benches), numbersOf(percents)];
    const readings = names.map((part, k) => ({ part, operator: on[k] ?? '', value: values[k] ?? NaN }));
    const crossed = crossedPart(readings);
    const answer = gaugeAnova(crossed);
    return {
      study: answer.kind === 'study' && answer.parts >= FEWEST_PUMPS ? answer : null,
      pumps: new Set(names).size,
      benches: [...new Set(crossed.map(({ operator }) => operator as string))].toSorted(),
    };
  });

/**
 * A study of benches, where the log holds one: pumps that went round two of the picked benches or more. Readings are whole draws
 * at the base point [percent from the middle of the band]. A pump that goes round again counts as another one. One row.
 */
export const benchStudy = question<Filters, BenchStudy>(
  'benchStudy',
  studyRow,
  filterValues,
  `with ${PICKED_JOBS},
  reading as (
    select b.pump, p.bench_id, w.percent, p.received_on, p.job_no, w.run, w.repeat
    from bench_rounds b join picked p using (job_no) join whole_draws w using (job_no)
  ), crossed as (
    select * from reading semi join (select pump from reading group by pump having count(distinct bench_id) >= 2) b using (pump)
  ), ordered as (select *, row_number() over (order by job_no, run, repeat) as place from crossed)
  select ${namesIn('pump', 'place')} as pumps, ${namesIn('bench_id', 'place')} as benches,
    ${numbersIn('percent', 'place')} as percents from ordered`,
);

/** A share of the scatter with its interval [percent of the delivery]. */
export interface Scatter {
  readonly sd: number;
  readonly low: number;
  readonly high: number;
}
export interface RepeatStudy {
  /** Jobs with two draws of one run. */
  readonly jobs: number;
  /** From draw to draw within a job, and from job to job; null where jobs are too few. */
  readonly within: Scatter | null;
  readonly between: Scatter | null;
  /** Half the width of the band, the median over these jobs. */
  readonly half_band: number | null;
}

const repeatRow = z
  .object({ first: maybeText, second: maybeText, half_band: maybeReal })
  .transform(({ first, second, half_band }): RepeatStudy => {
    const [one, other] = [numbersOf(first), numbersOf(second)];
    const table = anovaOneWay(one.map((value, k) => [value, other[k] ?? NaN]));
    if (table === null || one.length < FEWEST_REPEATED) {
      return { jobs: one.length, within: null, between: null, half_band };
    }
    const { within } = table;
    const ends = varianceInterval([{ factor: 1, meanSquare: within.meanSquare, freedom: within.freedom }]);
    const scatter = (variance: number, { low, high }: { low: number; high: number }): Scatter => ({
      sd: Math.sqrt(Math.max(0, variance)),
      low: Math.sqrt(low),
      high: Math.sqrt(high),
    });
    return {
      jobs: one.length,
      within: scatter(within.meanSquare, ends),
      between: scatter(table.betweenVariance, table.betweenInterval),
      half_band,
    };
  });

/**
 * Scatter within jobs and between them from whole draws at the base point: of each job the first run that was drawn twice, its first
 * two draws that count. One row.
 */
export const repeatStudy = question<Filters, RepeatStudy>(
  'repeatStudy',
  repeatRow,
  filterValues,
  `with ${PICKED_JOBS}, pair as (select d.* from draw_pairs d semi join picked using (job_no))
  select ${numbersIn('first', 'job_no')} as first, ${numbersIn('second', 'job_no')} as second,
    median(half_band)::double as half_band from pair`,
);
