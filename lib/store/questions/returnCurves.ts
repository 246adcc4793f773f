import { z } from 'zod';
import { eventTime, kaplanMeier, survivalAt, type EventTime, type ShareWithout } from '../../stats/kaplanMeier';
import { logRank } from '../../stats/logRank';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { numbersIn, numbersOf, WATCHED } from './returnVisits';
import { int, maybeText, text } from './rows';

/** Days of a month, a twelfth of a year. */
export const MONTH_DAYS = 365.25 / 12;
/** With fewer jobs no curve is told (ours). */
export const FEWEST_OUT = 10;

const kinds = z.enum(['all', 'model', 'work']);
export type ReturnKind = z.infer<typeof kinds>;

/** One step of a curve of pumps still out. */
export interface OutStep extends ShareWithout {
  /** Months since the pump left. */
  readonly months: number;
}

export interface ReturnCurve {
  readonly kind: ReturnKind;
  /** The model or the type of work; `all jobs` for all together. */
  readonly name: string;
  readonly n: number;
  readonly back: number;
  /** Longest watch [months]. */
  readonly watched: number;
  /** From 1 at the start to the longest watch. */
  readonly steps: readonly OutStep[];
  /** Pumps still out and watched at the start of every year. */
  readonly atRisk: readonly { readonly months: number; readonly n: number }[];
  /** Months by which half came back; Infinity where not known. */
  readonly median: EventTime;
  /** Share still out after a year; null where nobody was watched so long. */
  readonly year: ShareWithout | null;
}

const inMonths = ({ time, low, high }: EventTime): EventTime => ({
  time: time / MONTH_DAYS,
  low: low / MONTH_DAYS,
  high: high / MONTH_DAYS,
});

const row = z
  .object({ kind: kinds, name: text, days: maybeText, back: maybeText })
  .transform(({ kind, name, ...lists }): ReturnCurve => {
    const days = numbersOf(lists.days);
    const curve = kaplanMeier(days, numbersOf(lists.back));
    const watched = curve.n === 0 ? 0 : curve.watched / MONTH_DAYS;
    const start: OutStep = { months: 0, survival: 1, low: 1, high: 1 };
    const steps = curve.steps.map(({ time, survival, low, high }) => ({
      months: time / MONTH_DAYS,
      survival,
      low,
      high,
    }));
    const end: OutStep = { ...(steps.at(-1) ?? start), months: watched };
    return {
      kind,
      name,
      n: curve.n,
      back: curve.events,
      watched,
      steps: [start, ...steps, end],
      atRisk: Array.from({ length: Math.floor(watched / 12) + 1 }, (_, year) => ({
        months: 12 * year,
        n: days.filter((time) => time >= 12 * year * MONTH_DAYS).length,
      })),
      median: inMonths(eventTime(curve)),
      year: survivalAt(curve, 12 * MONTH_DAYS),
    };
  });

const lists = `${numbersIn('days', 'job_no')} as days, ${numbersIn('back', 'job_no')} as back`;

/** How long pumps stay out until the same serial number comes back: of all picked jobs, by model, and by type of work. */
export const returnCurves = question<Filters, ReturnCurve>(
  'returnCurves',
  row,
  filterValues,
  `with ${PICKED_JOBS}, ${WATCHED}
  select 'all' as kind, 'all jobs' as name, ${lists} from watched having count(*) > 0
  union all (select 'model', pump_model, ${lists} from watched group by pump_model)
  union all (select 'work', work_type, ${lists} from watched group by work_type)
  order by kind, name`,
);

export interface ReturnTest {
  readonly kind: ReturnKind;
  /** Groups compared: those with enough jobs. */
  readonly groups: number;
  readonly n: number;
  /** Of the log-rank test; null where no two groups were out together. */
  readonly p: number | null;
}

const testRow = z
  .object({ kind: kinds, groups: int, days: maybeText, back: maybeText, places: maybeText })
  .transform(({ kind, groups, days, back, places }): ReturnTest => {
    const times = numbersOf(days);
    const test = groups < 2 ? null : logRank(times, numbersOf(back), numbersOf(places), groups);
    return { kind, groups, n: times.length, p: test?.p ?? null };
  });

const testOf = (kind: ReturnKind, column: string): string => `(
  with enough as (select ${column} as name from watched group by ${column} having count(*) >= ${FEWEST_OUT}),
  placed as (select w.*, dense_rank() over (order by ${column}) - 1 as place from watched w join enough e on e.name = w.${column})
  select '${kind}' as kind, count(distinct place)::integer as groups, ${lists}, ${numbersIn('place', 'job_no')} as places from placed)`;

/** Whether models, and types of work, come back at one pace. */
export const returnTests = question<Filters, ReturnTest>(
  'returnTests',
  testRow,
  filterValues,
  `with ${PICKED_JOBS}, ${WATCHED}
  select * from ${testOf('model', 'pump_model')} union all select * from ${testOf('work', 'work_type')}`,
);
