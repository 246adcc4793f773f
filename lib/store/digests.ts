import { LEAST_CHANGE_MM } from '../calc/timing/phasing';
import { AUDIT_CELLS, AUDIT_CELLS_TABLE } from './auditCells';
import { adjustedIn } from './benchRounds';
import { LEFT_PLACES_TABLE, leftPlaces } from './leftPlaces';

/**
 * What pages ask of all readings together, told once a job when its results are stored: so that a change of filter reads a few
 * rows a job and not every draw. They say nothing that readings and results do not.
 */
export const digestTables = [
  'gauge_uses',
  'repeated_draws',
  'whole_draws',
  'draw_pairs',
  'base_means',
  'retention_reads',
  'job_digests',
  'audit_cells',
  'received_errors',
  'stack_changes',
  'rework',
  'wear_reads',
  'light_reads',
  'leak_reads',
  'received_wear',
  'left_places',
] as const;

/** With fewer as-left runs after new plungers and barrels there is no baseline. */
export const FEWEST_RUNS = 5;

/** Where a retention baseline comes from. */
export const baselineBases = ['stated', 'new parts', 'no baseline'] as const;
type Basis = (typeof baselineBases)[number];
const basis = (word: Basis): string => `'${word}'`;

export const DIGEST_TABLES = [
  // How many readings a job has of each gauge; -1 for those that name none, or one that no file of instruments lists.
  `create table gauge_uses (job_no INTEGER, gauge INTEGER, readings INTEGER);`,
  // A test point of a run with elements drawn twice or more: their readings, degrees of freedom, most repeats, sum of squares.
  `create table repeated_draws (job_no INTEGER, point INTEGER, readings INTEGER, freedom INTEGER, repeats INTEGER, squares DOUBLE);`,
  // Draws of all elements at the base point: percent from the middle of the band, and half that band's width in percent.
  `create table whole_draws (job_no INTEGER, run INTEGER, repeat INTEGER, percent DOUBLE, half_band DOUBLE);`,
  // Mean of all elements at the base point, and its band; whether the run is the last one with a mean after assembly: as it left.
  `create table base_means (job_no INTEGER, run INTEGER, mean_mm3 DOUBLE, low_mm3 DOUBLE, high_mm3 DOUBLE, left_so BOOLEAN);`,
  // The first two draws of all elements at the base point in the first run that was drawn twice.
  `create table draw_pairs (job_no INTEGER, first DOUBLE, second DOUBLE, half_band DOUBLE);`,
  // Readings of retention, and whether they are of the last run in which the job has one: as it left.
  `create table retention_reads (job_no INTEGER, run INTEGER, element INTEGER, low_point INTEGER, rated_point INTEGER, retention DOUBLE,
    left_so BOOLEAN);`,
  // Rounds after assembly, those after the first at a test point, those of them called for; whether stacks or barrels were changed;
  // whether anything was measured as received, and the stages that were out then, empty for none.
  `create table job_digests (job_no INTEGER, rounds INTEGER, again INTEGER, called_for INTEGER, adjusted BOOLEAN,
    received_measured BOOLEAN, received_out VARCHAR);`,
  // By specification and pair of test points: what a retention is held against, and on how many runs it rests.
  `create table retention_baselines (spec_no INTEGER, low_point INTEGER, rated_point INTEGER, runs INTEGER, basis VARCHAR,
    baseline DOUBLE);`,
  // Phase errors as received, with the verdict and the tolerance that it was told by.
  `create table received_errors (job_no INTEGER, element INTEGER, nominal_deg DOUBLE, error_deg DOUBLE, is_out BOOLEAN,
    tolerance_deg DOUBLE);`,
  // Changes of stacks, as lib/calc/timing/stacks has them.
  `create table stack_changes (job_no INTEGER, run INTEGER, element INTEGER, error_deg DOUBLE, shim_change_mm DOUBLE, made_mm DOUBLE);`,
  // Barrels changed after run 1 and later, and what would have been enough, of jobs with a plan for run 1 that reaches tolerance.
  `create table rework (job_no INTEGER, done INTEGER, done_mm DOUBLE, enough INTEGER, enough_mm DOUBLE, spare INTEGER);`,
  // Of the readings of retention those as received and as left.
  `create table wear_reads (job_no INTEGER, element INTEGER, is_left BOOLEAN, retention DOUBLE);`,
  // Scatter over the elements at the light draw, by run.
  `create table light_reads (job_no INTEGER, run INTEGER, point INTEGER, scatter_percent DOUBLE);`,
  // Leakage as received, an element and rack a row.
  `create table leak_reads (job_no INTEGER, slope_mm3_rpm DOUBLE, clearance_um DOUBLE);`,
  // Retention as received, and its deficit against the baseline as it stands with all jobs of the log.
  `create table received_wear (job_no INTEGER, element INTEGER, low_point INTEGER, rated_point INTEGER, retention DOUBLE, deficit DOUBLE);`,
  AUDIT_CELLS_TABLE,
  `create view light as
    select l.job_no, l.run, p.test_point, l.scatter_percent from light_reads l join point_numbers p using (point);`,
  LEFT_PLACES_TABLE,
  `create view deficits as
    select r.*, b.runs, b.basis, b.baseline, 1 - r.retention / nullif(b.baseline, 0) as deficit
    from retention_reads r join job_cards j on j.job_no = r.job_no
    join retention_baselines b on b.spec_no = j.spec_no and b.low_point = r.low_point and b.rated_point = r.rated_point;`,
] as const;

/** The engine's readings say NaN for what was not read, which is above any number. */
const changed = (before: string, after: string): string =>
  `(not isnan(${after} - ${before}) and abs(${after} - ${before}) > ${LEAST_CHANGE_MM})`;

/**
 * Whether a row of phasing `f` has a change of its stack, told by rows of shims: what two written stacks differ by in the last binary
 * place is none; of a split pair it is enough that either half was changed, although the mean may be the same.
 */
const isChanged = (shims: string): string => `(abs(f.made_mm) > ${LEAST_CHANGE_MM} or (f.job_no, f.run, f.element) in (
    select (job_no, run, element) from ${shims} where not isnan(before_second_mm)
      and (${changed('before_mm', 'after_mm')} or ${changed('before_second_mm', 'after_second_mm')})))`;

/** The statements that digest one batch, its readings laid out in due_* and its results stored. */
export function digestsOf(batch: number): readonly string[] {
  const due = (name: string): string => `(select * from due_${name} where batch = ${batch})`;
  return [
    `insert into gauge_uses select job_no, gauge, count(*) from (select job_no, gauge from ${due('closures')}
      union all select job_no, gauge from ${due('draws')}) group by job_no, gauge`,
    `create or replace temp table counting as
      select d.job_no, d.run, d.point, d.repeat, d.element, 1000 * d.volume_cm3 / d.strokes as q, x.job_no is null as counts
      from ${due('draws')} d left join (select distinct job_no, run, point, element, repeat from excluded
        where job_no in (select job_no from due where batch = ${batch})) x using (job_no, run, point, element, repeat)`,
    `insert into repeated_draws
      with cell as (select job_no, run, point, element, count(*) as n, var_samp(q) * (count(*) - 1) as squares
        from counting where counts group by all having count(*) >= 2)
      select job_no, point, count(*), sum(n - 1), max(n) - 1, sum(squares) from cell group by job_no, run, point`,
    `insert into whole_draws
      select c.job_no, c.run, c.repeat, 100 * (avg(c.q) / any_value((t.low_mm3 + t.high_mm3) / 2) - 1),
        any_value(50 * (t.high_mm3 - t.low_mm3) / ((t.low_mm3 + t.high_mm3) / 2))
      from counting c join due d using (job_no) join base_points b on b.spec_no = d.spec_no and b.point = c.point
      join test_points t on t.spec_no = d.spec_no and t.point = c.point join specs s on s.spec_no = d.spec_no
      where c.counts and t.low_mm3 + t.high_mm3 > 0
      group by c.job_no, c.run, c.repeat, s.elements having count(*) = s.elements`,
    `insert into draw_pairs
      with ordered as (select *, row_number() over (partition by job_no, run order by repeat) as place
        from whole_draws semi join (select job_no from due where batch = ${batch}) using (job_no))
      select a.job_no, a.percent, b.percent, a.half_band
      from ordered a join ordered b on b.job_no = a.job_no and b.run = a.run and b.place = 2
      where a.place = 1 qualify row_number() over (partition by a.job_no order by a.run) = 1`,
    `insert into base_means
      select r.job_no, r.run, r.mean_mm3, r.low_mm3, r.high_mm3, r.run > 0 and r.run = max(r.run) over (partition by r.job_no)
      from points r join due d using (job_no) join base_points b on b.spec_no = d.spec_no and b.point = r.point
      join specs s on s.spec_no = d.spec_no
      where d.batch = ${batch} and r.elements_measured = s.elements and r.mean_mm3 > 0`,
    `insert into retention_reads
      select job_no, run, element, low_point, rated_point, retention, run > 0 and run = max(run) over (partition by job_no)
      from retention where retention is not null and job_no in (select job_no from due where batch = ${batch})`,
    `insert into job_digests
      with round as (select job_no, run, point, repeat, bool_or(counts) as counts from counting where run >= 1
        group by job_no, run, point, repeat),
      placed as (select job_no, row_number() over w > 1 as again, run <> lag(run) over w or not lag(counts) over w as called_for
        from round window w as (partition by job_no, point order by run, repeat)),
      told as (select job_no, count(*) as rounds, count(*) filter (where again) as again,
        count(*) filter (where again and called_for) as called_for from placed group by job_no),
      adjusted as (${adjustedIn(due('shims'), due('barrels'))}),
      seen as (
        select job_no, 'timing' as stage, -3 as place, timing_verdict as verdict from timing where run = 0
        union all select job_no, 'phasing', -2, phasing_verdict from timing where run = 0
        union all select job_no, test_point, point, verdict from points where run = 0
        union all select job_no, 'governor', 1000000, verdict from governor_checks where run = 0
      ),
      stage as (select job_no, stage, min(place) as place, bool_or(verdict = 'out') as out, bool_or(verdict <> 'not measured') as measured
        from seen semi join (select job_no from due where batch = ${batch}) using (job_no) group by job_no, stage),
      received as (select job_no, bool_or(measured) as measured, string_agg(stage, ', ' order by place) filter (out) as out
        from stage group by job_no)
      select d.job_no, coalesce(t.rounds, 0), coalesce(t.again, 0), coalesce(t.called_for, 0), a.job_no is not null,
        coalesce(r.measured, false), r.out
      from due d left join told t using (job_no) left join adjusted a using (job_no) left join received r using (job_no)
      where d.batch = ${batch}`,
    `insert into received_errors
      select f.job_no, f.element, f.nominal_deg, f.error_deg, f.verdict = 'out', t.tolerance_deg
      from phasing f join timing t on t.job_no = f.job_no and t.run = f.run
      where f.run = 0 and f.error_deg is not null and f.job_no in (select job_no from due where batch = ${batch})`,
    `insert into stack_changes
      select f.job_no, f.run, f.element, f.error_deg, f.shim_change_mm, f.made_mm
      from phasing f where f.job_no in (select job_no from due where batch = ${batch}) and ${isChanged(due('shims'))}`,
    `insert into rework
      select job_no, sum(done_barrels), sum(done_mm), sum(barrels) filter (run = 1), sum(moved_mm) filter (run = 1),
        sum(greatest(done_barrels - barrels, 0))
      from shim_plans where run >= 1 and job_no in (select job_no from due where batch = ${batch})
      group by job_no
      having bool_and(status in ('in already', 'possible')) and count(*) filter (run = 1) = 1`,
    `insert into wear_reads
      select job_no, element, left_so, retention from retention_reads
      where (run = 0 or left_so) and job_no in (select job_no from due where batch = ${batch})`,
    `insert into light_reads
      select r.job_no, r.run, r.point, r.scatter_percent
      from points r join due d using (job_no) join light_points l on l.spec_no = d.spec_no and l.point = r.point
      where d.batch = ${batch} and r.scatter_percent is not null`,
    `insert into leak_reads
      select job_no, slope_mm3_rpm, clearance_um from leakage
      where run = 0 and job_no in (select job_no from due where batch = ${batch})`,
    leftPlaces(`select job_no from due where batch = ${batch}`),
    'drop table counting',
  ];
}

/**
 * What is told of all jobs together when the last batch is in. A baseline is the specification's own ratio; where that is not stated,
 * the median over the new elements as left, model by model and pair of test points by pair, of all jobs in the log: filters narrow
 * what is shown and not what it is held against.
 */
export const DIGEST_OF_ALL = [
  'delete from retention_baselines',
  `insert into retention_baselines
    with medians as (
      select j.pump_model, r.low_point, r.rated_point, count(distinct r.job_no)::integer as runs,
        quantile_cont(r.retention, 0.5)::double as median
      from retention_reads r semi join fitted f on f.job_no = r.job_no and f.element = r.element
      join job_cards j on j.job_no = r.job_no
      where r.left_so group by j.pump_model, r.low_point, r.rated_point
    ), pair as (
      select distinct j.spec_no, j.pump_model, r.low_point, r.rated_point from retention_reads r join job_cards j using (job_no)
    )
    select p.spec_no, p.low_point, p.rated_point, coalesce(m.runs, 0),
      case when s.retention_ratio is not null then ${basis('stated')}
        when m.runs >= ${FEWEST_RUNS} then ${basis('new parts')} else ${basis('no baseline')} end,
      case when s.retention_ratio is not null then s.retention_ratio when m.runs >= ${FEWEST_RUNS} then m.median end
    from pair p join specs s on s.spec_no = p.spec_no
    left join medians m on m.pump_model = p.pump_model and m.low_point = p.low_point and m.rated_point = p.rated_point`,
  'delete from received_wear',
  `insert into received_wear
    select job_no, element, low_point, rated_point, retention, deficit from deficits where run = 0 order by job_no`,
  ...AUDIT_CELLS,
] as const;
