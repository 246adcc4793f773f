import { z } from 'zod';
import { codes } from '../../calc/layout';
import { filterValues, narrowed, PICKED_JOBS, UNFILTERED, type Filters } from '../filters';
import { question } from '../question';
import { day, int, maybeText, text, verdict, yesNo } from './rows';

export interface AuditQueueArgs extends Filters {
  /** Only warranty jobs. */
  readonly warranty: boolean;
  /** Only jobs of this job, serial or claim number; null for all. */
  readonly number: string | null;
  /** Only jobs of these job, serial or claim numbers; null for all. */
  readonly among: readonly string[] | null;
}

/** What one cell holds of a job's findings, stages and gauges: records parted by 30, their fields by 31, as ASCII has them for. */
const RECORD = '\u001e';
const FIELD = '\u001f';
const field = (sql: string): string => `replace(replace(coalesce(${sql}, ''), chr(30), ''), chr(31), '')`;
const record = (...fields: readonly string[]): string => fields.map(field).join(' || chr(31) || ');
const told = (fields: readonly string[], order: string): string =>
  `string_agg(${record(...fields)}, chr(30) order by ${order})`;

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
  findings: records(finding, ['finding', 'test_point', 'elements', 'rows']),
  /** Stages asked for that are not in as left, or whose decision is another. */
  stages: records(stage, ['stage', 'test_point', 'as_left', 'decision']),
  /** Gauges that the readings name and that something is to be said of. */
  gauges: records(gauge, ['instrument_id', 'standing', 'calibrated_on', 'due_on']),
  /** Closures and draws written down, and those of them that name no gauge. */
  readings: int,
  unnamed: int,
});
export type QueuedJob = z.infer<typeof row>;

/** A stage's decision where its verdict is in: the two of timing and phasing, else the test point's; the governor has none. */
const DECISION = `case s.stage
    when 'timing and phasing' then case
      when 'out' in (t.timing_decision, t.phasing_decision) then 'out'
      when 'cannot tell' in (t.timing_decision, t.phasing_decision) then 'cannot tell' else s.as_left end
    when 'test point' then coalesce(d.decision, s.as_left) else s.as_left end`;

/** Asks of these jobs alone, whatever else is set. */
export const amongAll = (names: readonly string[]): AuditQueueArgs => ({
  ...UNFILTERED,
  ...{ warranty: false, number: null, among: names },
});

/**
 * The picked jobs with all that tells whether their record would hold, newest first. Each table is read once for all jobs together; what
 * a job has several of comes in one cell.
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
  named as (select unnest(string_split($8::varchar, chr(10))) as name),
  wanted as materialized (
    select * from picked
    where (not $6::boolean or warranty) and ($7::varchar = '' or job_id = $7::varchar or pump_serial = $7::varchar or claim_no = $7::varchar)
      and ($8::varchar = '' or job_id in (select name from named) or pump_serial in (select name from named)
        or claim_no in (select name from named))
  ),
  found as (
    select f.job_no, f.finding, f.test_point, sum(f.rows)::integer as rows,
      string_agg(distinct f.element::varchar, ',') filter (f.element > 0) as elements
    from findings f join wanted using (job_no) group by f.job_no, f.finding, f.test_point
  ),
  found_of as (
    select job_no, ${told(['finding', 'test_point', 'elements', 'rows::varchar'], 'finding, test_point nulls first')} as findings
    from found group by job_no
  ),
  staged as (
    select s.job_no, s.stage, s.point, s.test_point, s.as_left, ${DECISION} as decision
    from stages s join wanted using (job_no)
    left join timing t on t.job_no = s.job_no and t.run = s.as_left_run
    left join points d on d.job_no = s.job_no and d.run = s.as_left_run and d.point = s.point
  ),
  stages_of as (
    select job_no, ${told(['stage', 'test_point', 'as_left', 'decision'], 'stage desc, point')} as stages
    from staged where as_left <> 'in' or decision <> 'in' group by job_no
  ),
  unlisted as (select u.* from unlisted_gauges u semi join wanted using (job_no)),
  read_of as (
    select u.job_no, sum(u.readings)::integer as readings,
      (coalesce(sum(u.readings) filter (u.gauge < 0), 0) - coalesce(any_value(x.n), 0))::integer as unnamed
    from gauge_uses u semi join wanted using (job_no)
    left join (select job_no, sum(readings) as n from unlisted group by job_no) x on x.job_no = u.job_no
    group by u.job_no
  ),
  used as (
    select u.job_no, n.instrument_id, w.received_on
    from gauge_uses u join wanted w using (job_no) join gauge_numbers n using (gauge)
    union all select u.job_no, u.instrument_id, w.received_on from unlisted u join wanted w using (job_no)
  ),
  standing as (
    select u.job_no, u.instrument_id, i.calibrated_on, i.due_on,
      case when i.instrument_id is null
          then case when u.instrument_id in (select instrument_id from instruments) then 'no calibration' else 'not listed' end
        when u.received_on >= i.due_on then 'past its date'
        when i.expanded_uncertainty is null then 'no uncertainty' end as standing
    from used u asof left join instruments i on i.instrument_id = u.instrument_id and i.calibrated_on <= u.received_on
  ),
  gauges_of as (
    select job_no, ${told(['instrument_id', 'standing', 'calibrated_on::varchar', 'due_on::varchar'], 'instrument_id')} as gauges
    from standing where standing is not null group by job_no
  ),
  replaced as (
    select w.job_no, max_by(later.revision, later.valid_from) as revision, min(later.valid_from)::varchar as since
    from wanted w join specs s on s.spec_no = w.spec_no
    join specs later on later.spec_id = s.spec_id and later.valid_from > s.valid_from and later.valid_from <= w.received_on
    group by w.job_no
  )
  select w.job_no, w.job_id, w.pump_serial, w.pump_model, w.work_type, w.bench_id, w.received_on::varchar as received_on,
    w.finished_on::varchar as finished_on, w.warranty, w.claim_no, w.spec_revision, p.revision as revision_in_force, p.since as superseded_on,
    o.as_left, o.as_left_decision, o.tolerance_assumed, f.findings, s.stages, g.gauges,
    coalesce(r.readings, 0) as readings, coalesce(r.unnamed, 0) as unnamed
  from wanted w join outcomes o on o.job_no = w.job_no
  left join found_of f on f.job_no = w.job_no
  left join stages_of s on s.job_no = w.job_no
  left join gauges_of g on g.job_no = w.job_no
  left join read_of r on r.job_no = w.job_no
  left join replaced p on p.job_no = w.job_no
  order by w.received_on desc, w.job_no desc`,
);
