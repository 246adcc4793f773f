/**
 * What tells of each job whether its record would hold, a row a job: the audit page asks for all of it at every change of a filter,
 * and nothing in it turns on a filter. What a job has several of comes in one cell: records parted by 30, their fields by 31, as ASCII
 * has them for.
 */
export const RECORD = '\u001e';
export const FIELD = '\u001f';

const field = (sql: string): string => `replace(replace(coalesce(${sql}, ''), chr(30), ''), chr(31), '')`;
const cell = (fields: readonly string[], order: string): string =>
  `string_agg(${fields.map(field).join(' || chr(31) || ')}, chr(30) order by ${order})`;

/** The fields of each record, in the order in which they are written. */
export const auditFields = {
  findings: ['finding', 'test_point', 'elements', 'rows'],
  stages: ['stage', 'test_point', 'as_left', 'decision'],
  gauges: ['instrument_id', 'standing', 'calibrated_on', 'due_on'],
} as const;

export const AUDIT_CELLS_TABLE = `create table audit_cells (job_no INTEGER, findings VARCHAR, stages VARCHAR, gauges VARCHAR,
  readings INTEGER, unnamed INTEGER, revision_in_force VARCHAR, superseded_on DATE);`;

/** A stage's decision where its verdict is in: the two of timing and phasing, else the test point's; the governor has none. */
const DECISION = `case s.stage
    when 'timing and phasing' then case
      when 'out' in (t.timing_decision, t.phasing_decision) then 'out'
      when 'cannot tell' in (t.timing_decision, t.phasing_decision) then 'cannot tell' else s.as_left end
    when 'test point' then coalesce(d.decision, s.as_left) else s.as_left end`;

/** The statements that write it anew, when all results are stored: each of the tables it rests on is read once for all jobs. */
export const AUDIT_CELLS = [
  'delete from audit_cells',
  `insert into audit_cells
  with found as (
    select job_no, finding, test_point, sum(rows)::integer as rows,
      string_agg(distinct element::varchar, ',') filter (element > 0) as elements
    from findings group by job_no, finding, test_point
  ),
  found_of as (
    select job_no, ${cell(['finding', 'test_point', 'elements', 'rows::varchar'], 'finding, test_point nulls first')} as findings
    from found group by job_no
  ),
  staged as (
    select s.job_no, s.stage, s.point, s.test_point, s.as_left, ${DECISION} as decision
    from stages s left join timing t on t.job_no = s.job_no and t.run = s.as_left_run
    left join points d on d.job_no = s.job_no and d.run = s.as_left_run and d.point = s.point
  ),
  stages_of as (
    select job_no, ${cell(auditFields.stages, 'stage desc, point')} as stages
    from staged where as_left <> 'in' or decision <> 'in' group by job_no
  ),
  read_of as (
    select u.job_no, sum(u.readings)::integer as readings,
      (coalesce(sum(u.readings) filter (u.gauge < 0), 0) - coalesce(any_value(x.n), 0))::integer as unnamed
    from gauge_uses u left join (select job_no, sum(readings) as n from unlisted_gauges group by job_no) x on x.job_no = u.job_no
    group by u.job_no
  ),
  used as (
    select u.job_no, n.instrument_id, j.received_on
    from gauge_uses u join job_cards j using (job_no) join gauge_numbers n using (gauge)
    union all select u.job_no, u.instrument_id, j.received_on from unlisted_gauges u join job_cards j using (job_no)
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
    select job_no, ${cell(['instrument_id', 'standing', 'calibrated_on::varchar', 'due_on::varchar'], 'instrument_id')} as gauges
    from standing where standing is not null group by job_no
  ),
  replaced as (
    select j.job_no, max_by(later.revision, later.valid_from) as revision, min(later.valid_from) as since
    from job_cards j join specs s on s.spec_no = j.spec_no
    join specs later on later.spec_id = s.spec_id and later.valid_from > s.valid_from and later.valid_from <= j.received_on
    group by j.job_no
  )
  select o.job_no, f.findings, s.stages, g.gauges, coalesce(r.readings, 0), coalesce(r.unnamed, 0), p.revision, p.since
  from kept_outcomes o
  left join found_of f on f.job_no = o.job_no
  left join stages_of s on s.job_no = o.job_no
  left join gauges_of g on g.job_no = o.job_no
  left join read_of r on r.job_no = o.job_no
  left join replaced p on p.job_no = o.job_no`,
] as const;
