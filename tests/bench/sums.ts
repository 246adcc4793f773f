/**
 * The same sums as the engine's, as plain SQL over typed tables: what someone would write who keeps no reasons, assumptions or
 * exclusions apart. It is here to be timed against, not to be used.
 */
export const sums = [
  `create or replace table q as
    select d.job_id, d.run, d.test_point, d.element, avg(1000 * d.volume_cm3 / d.strokes) as mm3, count(*) as draws,
      max(1000 * d.volume_cm3 / d.strokes) - min(1000 * d.volume_cm3 / d.strokes) as scatter
    from draws d join jobs j using (job_id)
    join test_points p on p.spec_id = j.spec_id and p.revision = j.spec_revision and p.test_point = d.test_point
    where abs(d.rack_mm - p.rack_mm) <= p.rack_tol_mm + 1e-9 or d.rack_mm is null
    group by all`,
  `create or replace table points as
    select q.job_id, q.run, q.test_point, avg(mm3) as mean, max(mm3) - min(mm3) as range_mm3,
      max(abs(mm3 - m)) as deviation, count(*) as elements
    from (select *, avg(mm3) over (partition by job_id, run, test_point) as m from q) q group by all`,
  `create or replace table retention as
    select l.job_id, l.run, l.element, l.mm3 / f.mm3 as retention
    from q l join q f using (job_id, run, element) join jobs j using (job_id)
    join test_points pl on pl.spec_id = j.spec_id and pl.revision = j.spec_revision and pl.test_point = l.test_point
    join test_points pf on pf.spec_id = j.spec_id and pf.revision = j.spec_revision and pf.test_point = f.test_point
    where pl.purpose = 'low-speed' and pf.purpose = 'full'`,
  `create or replace table phasing as
    with ordered as (
      select s.spec_id, s.revision, s.elements, s.phasing_tol_deg, s.lift_rate_mm_per_deg,
        unnest(string_split_regex(s.firing_order, '[- ]'))::integer as element,
        generate_subscripts(string_split_regex(s.firing_order, '[- ]'), 1) - 1 as place
      from specs s),
    read as (
      select c.*, o.place, o.elements, o.phasing_tol_deg, o.lift_rate_mm_per_deg,
        first_value(c.cam_deg) over (partition by c.job_id, c.run order by o.place) as reference
      from closures c join jobs j using (job_id)
      join ordered o on o.spec_id = j.spec_id and o.revision = j.spec_revision and o.element = c.element)
    select job_id, run, element, cam_deg - reference - place * 360.0 / elements as error,
      -(cam_deg - reference - place * 360.0 / elements) * coalesce(lift_rate_mm_per_deg, 0.2) as shim_change,
      abs(cam_deg - reference - place * 360.0 / elements) <= coalesce(phasing_tol_deg, 0.5) as within
    from read`,
  `create or replace table first_pass as
    select job_id, bool_and(within) as phasing from phasing where run = 1 group by job_id`,
] as const;
