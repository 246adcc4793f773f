import { z } from 'zod';
import { codes } from '../../calc/layout';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { told } from '../tables';
import { int } from './rows';

export const findingWord = z.enum(codes.finding);
export const severityWord = z.enum(codes.severity);

const row = z.object({
  finding: findingWord,
  severity: severityWord,
  jobs: int,
  rows: int,
  first_day: z.string(),
  last_day: z.string(),
});
export type FindingCount = z.infer<typeof row>;

/** In how many picked jobs each finding stands, the gravest first, with the days the first and the last of them came in. */
export const findingCounts = question<Filters, FindingCount>(
  'findingCounts',
  row,
  filterValues,
  `with ${PICKED_JOBS}
  select f.finding, f.severity, count(distinct f.job_no)::integer as jobs, sum(f.rows)::integer as rows,
    min(p.received_on)::varchar as first_day, max(p.received_on)::varchar as last_day
  from ${told('findings', 'job_no', 'finding', 'severity', 'rows')} f join picked p using (job_no)
  group by f.finding, f.severity
  order by list_position([${codes.severity.map((word) => `'${word}'`).join(', ')}], f.severity), jobs desc, f.finding`,
);
