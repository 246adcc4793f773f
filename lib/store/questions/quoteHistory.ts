import { z } from 'zod';
import { quoteNames, type QuoteName } from '../../quote/types';
import { PAIR } from '../cards';
import { int, text } from './rows';

/**
 * What a quote is told from: the shop's past as columns of numbers, and the names behind them. It is not opened with the filters: a quote
 * rests on the whole log whatever a page was narrowed to, as the search for recurring faults does; old jobs weigh less of themselves.
 */

const NO_READING = `'nan'::double`;

/** The jobs that a quote may rest on. Nobody asks for a round of the benches, and its cards tell neither hours nor parts. */
const PAST = '(select * from job_cards where not in_round)';

/** Written with other capitals or blanks a complaint is the same complaint. */
const COMPLAINT = `nullif(lower(trim(complaint)), '')`;

/** Jobs are numbered in the order of the rows; all else by name. */
const sources = {
  model: 'pump_model',
  work: 'work_type',
  complaint: COMPLAINT,
  branch: `nullif(trim(branch), '')`,
  currency: `nullif(upper(trim(currency)), '')`,
  serial: 'pump_serial',
} as const satisfies Record<Exclude<QuoteName, 'job'>, string>;
type Named = keyof typeof sources;
const named: readonly Named[] = ['model', 'work', 'complaint', 'branch', 'currency', 'serial'];

const numberOf = (kind: Named): string =>
  `select name, (row_number() over (order by name) - 1)::integer as no
    from (select distinct ${sources[kind]} as name from ${PAST}) where name is not null`;

/** The names by kind, in the order of their numbers. */
export const QUOTE_NAMES = `select * from (
    select 'job' as kind, job_id as name, (row_number() over (order by job_no) - 1)::integer as no from ${PAST}
    ${named.map((kind) => `union all select '${kind}', name, no from (${numberOf(kind)})`).join('\n    ')}
  ) order by kind, no`;
export const quoteName = z.object({ kind: z.enum(quoteNames), name: text, no: int });

const told = (yes: string, isTold: string): string =>
  `(case when ${yes} then 1 when ${isTold} then 0 else -1 end)::integer`;

/**
 * A row a job, in the order of their numbers; no cell is empty. As received is run 0. Parts are told by jobs that have a line of them or a cost
 * written; a second run by jobs with any reading. New barrels are lines of plungers and barrels, camshaft is any line that names one.
 */
export const QUOTE_HISTORY = `with fitted_parts as (
    select job_no, bool_or(quantity > 0 and regexp_matches(part, ${PAIR}, 'i')) as barrels,
      bool_or(quantity > 0 and regexp_matches(part, 'cam[ -]?shaft', 'i')) as camshaft
    from parts group by job_no
  ),
  runs as (
    select job_no, max(run) as last_run from (
      select job_no, run from timing union all select job_no, run from points union all select job_no, run from governor_checks
    ) group by job_no
  ),
  errors as (select job_no, max(abs(worst_error_deg)) as deg from timing where run = 0 group by job_no),
  scatters as (select job_no, max(scatter_percent) as percent from light where run = 0 group by job_no),
  worn as (select job_no, max(deficit) as deficit from received_wear group by job_no),
  leaks as (select job_no, max(slope_mm3_rpm) as slope from leak_reads group by job_no)
  select ${named.map((kind) => `coalesce(n_${kind}.no, -1)::integer as ${kind}`).join(', ')},
    s.elements::integer as elements,
    (j.received_on - date '1970-01-01')::integer as received,
    coalesce((j.finished_on - date '1970-01-01')::double, ${NO_READING}) as finished,
    coalesce(j.engine_hours::double, ${NO_READING}) as engine_hours,
    coalesce(j.labour_hours::double, ${NO_READING}) as labour_hours,
    coalesce(j.parts_cost::double, ${NO_READING}) as parts_cost,
    coalesce(e.deg::double, ${NO_READING}) as phasing_deg,
    coalesce(c.percent::double, ${NO_READING}) as scatter_percent,
    coalesce(w.deficit::double, ${NO_READING}) as retention_deficit,
    coalesce(l.slope::double, ${NO_READING}) as leak_slope,
    ${told('p.barrels', 'p.job_no is not null or j.parts_cost is not null')} as new_barrels,
    ${told('p.camshaft', 'p.job_no is not null or j.parts_cost is not null')} as camshaft,
    ${told('r.last_run >= 2', 'r.job_no is not null')} as rerun
  from (select *, ${named.map((kind) => `${sources[kind]} as named_${kind}`).join(', ')} from ${PAST}) j
  join specs s on s.spec_no = j.spec_no
  ${named.map((kind) => `left join (${numberOf(kind)}) n_${kind} on n_${kind}.name = j.named_${kind}`).join('\n  ')}
  left join fitted_parts p on p.job_no = j.job_no
  left join runs r on r.job_no = j.job_no
  left join errors e on e.job_no = j.job_no
  left join scatters c on c.job_no = j.job_no
  left join worn w on w.job_no = j.job_no
  left join leaks l on l.job_no = j.job_no
  order by j.job_no`;
