import { z } from 'zod';
import { codes } from '../../calc/layout';
import { auditFields, FIELD, RECORD } from '../auditCells';
import { filterValues, narrowed, PICKED_JOBS, UNFILTERED, type Filters } from '../filters';
import { question } from '../question';
import { told } from '../tables';
import { day, int, maybeText, text, verdict, yesNo } from './rows';

export interface AuditQueueArgs extends Filters {
  /** Only warranty jobs. */
  readonly warranty: boolean;
  /** Only jobs of this job, serial or claim number; null for all. */
  readonly number: string | null;
  /** Only jobs of these job, serial or claim numbers; null for all. */
  readonly among: readonly string[] | null;
}

/** Takes such a cell apart again. */
const records = <Row>(row: z.ZodType<Row>, names: readonly string[]) =>
  z
    .string()
    .nullable()
    .transform((cell) =>
      (cell === null ? [] : cell.split(RECORD)).map((each) => {
        const fields = each.split(FIELD);
        return row.parse(Object.fromEntries(names.map((name, k) => [name, fields[k] ?? ''])));
      }),
    );

const none = z.string().transform((cell) => (cell === '' ? null : cell));
const number = z.string().transform(Number).pipe(int);
const elements = z
  .string()
  .transform((cell) =>
    cell
      .split(',')
      .filter((each) => each !== '')
      .map(Number)
      .sort((a, b) => a - b),
  )
  .pipe(z.array(int));

const finding = z.object({ finding: z.enum(codes.finding), test_point: none, elements, rows: number });
const stage = z.object({
  stage: z.enum(codes.stage),
  test_point: none,
  as_left: verdict,
  decision: z.enum(codes.verdict),
});
export const gaugeStandings = ['past its date', 'no calibration', 'not listed', 'no uncertainty'] as const;
const gauge = z.object({ instrument_id: text, standing: z.enum(gaugeStandings), calibrated_on: none, due_on: none });

const row = z.object({
  job_no: int,
  job_id: text,
  pump_serial: text,
  pump_model: text,
  work_type: text,
  bench_id: maybeText,
  received_on: day,
  finished_on: day.nullable(),
  warranty: z.boolean().nullable(),
  claim_no: maybeText,
  spec_revision: text,
  /** The revision in force on the day received, and the day since when the job's own no longer was; empty where it was. */
  revision_in_force: maybeText,
  superseded_on: day.nullable(),
  as_left: verdict,
  as_left_decision: verdict,
  tolerance_assumed: yesNo,
  /** What does not agree, by finding and test point. */
  findings: records(finding, auditFields.findings),
  /** Stages asked for that are not in as left, or whose decision is another. */
  stages: records(stage, auditFields.stages),
  /** Gauges that the readings name and that something is to be said of. */
  gauges: records(gauge, auditFields.gauges),
  /** Closures and draws written down, and those of them that name no gauge. */
  readings: int,
  unnamed: int,
});
export type QueuedJob = z.infer<typeof row>;

/** Asks of these jobs alone, whatever else is set. */
export const amongAll = (names: readonly string[]): AuditQueueArgs => ({
  ...UNFILTERED,
  ...{ warranty: false, number: null, among: names },
});

/**
 * The picked jobs with all that tells whether their record would hold, newest first.
 */
export const auditQueue = question<AuditQueueArgs, QueuedJob>(
  'auditQueue',
  row,
  (args) => [
    ...filterValues(args),
    args.warranty,
    narrowed(args.number),
    narrowed(args.among && `${args.among.join('\n')}\n`),
  ],
  `with ${PICKED_JOBS},
  named as (select unnest(string_split($8::varchar, chr(10))) as name)
  select w.job_no, w.job_id, w.pump_serial, w.pump_model, w.work_type, w.bench_id, w.received_on::varchar as received_on,
    w.finished_on::varchar as finished_on, w.warranty, w.claim_no, w.spec_revision, a.revision_in_force, a.superseded_on::varchar as superseded_on,
    o.as_left, o.as_left_decision, o.tolerance_assumed, a.findings, a.stages, a.gauges, a.readings, a.unnamed
  from picked w join audit_cells a on a.job_no = w.job_no
  join ${told('outcomes', 'job_no', 'as_left', 'as_left_decision', 'tolerance_assumed')} o on o.job_no = w.job_no
  where (not $6::boolean or w.warranty) and ($7::varchar = '' or w.job_id = $7::varchar or w.pump_serial = $7::varchar or w.claim_no = $7::varchar)
    and ($8::varchar = '' or w.job_id in (select name from named) or w.pump_serial in (select name from named)
      or w.claim_no in (select name from named))
  order by w.received_on desc, w.job_no desc`,
);
