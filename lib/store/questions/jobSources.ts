import { z } from 'zod';
import { question } from '../question';
import { int, text, ROWS_OF_THIS_JOB } from './rows';

const row = z.object({
  file: text,
  /** SHA-256 of the file as it came, 64 hexadecimal digits. */
  sha256: text,
  log_table: text,
  /** Rows of it that bear on the job. */
  rows: int,
});
export type JobSource = z.infer<typeof row>;

const ofJob = ['jobs', 'closures', 'shims', 'draws', 'barrels', 'governor', 'parts', 'remarks'] as const;
const ofSpec = ['test_points', 'cam_lift', 'checks'] as const;

/**
 * The files that one job rests on: its card and readings, the revision it was worked to, all revisions of that sheet (which tell the
 * one in force), and all calibrations of the gauges it names.
 */
export const jobSources = question<{ readonly id: string }, JobSource>(
  'jobSources',
  row,
  (args) => [args.id],
  `with this as (select job_no, spec_id, spec_no from jobs where job_id = $1::varchar),
  named as (
    select instrument_id from closures where ${ROWS_OF_THIS_JOB} union select instrument_id from draws where ${ROWS_OF_THIS_JOB}
  ), bearing as (
    ${ofJob.map((table) => `select source_no from ${table} where ${ROWS_OF_THIS_JOB}`).join(' union all ')}
    union all select source_no from specs where spec_id = (select spec_id from this)
    ${ofSpec.map((table) => `union all select source_no from ${table} where spec_no = (select spec_no from this)`).join(' ')}
    union all select source_no from instruments where instrument_id in (select instrument_id from named)
  )
  select s.file, s.hash as sha256, s.log_table, count(*)::integer as rows
  from bearing b join sources s using (source_no)
  group by all order by s.file, s.log_table`,
);
