/** The base test point of each specification: the one for that purpose, else full load. */
export const BASE_POINT = `base as (
  select spec_no, arg_min(point, case purpose when 'base' then 0 else 1 end * 1000 + "order") as point
  from test_points where purpose in ('base', 'full') group by spec_no
)`;

/** The draws of the picked jobs that count [mm3/stroke], one row an element. */
export const COUNTING_DRAWS = `counting as (
  select d.job_no, p.spec_no, p.bench_id, d.run, d.point, d.repeat, d.element, 1000 * d.volume_cm3 / d.strokes as q
  from draws d join picked p using (job_no)
  anti join (select distinct job_no, run, point, element, repeat from excluded) e using (job_no, run, point, element, repeat)
)`;

/** The mean of each whole draw at the base point, in percent from the middle of the band; needs the two above. */
export const WHOLE_DRAWS = `whole as (
  select c.job_no, c.bench_id, c.run, c.repeat, 100 * (avg(c.q) / any_value((t.low_mm3 + t.high_mm3) / 2) - 1) as percent,
    any_value(50 * (t.high_mm3 - t.low_mm3) / ((t.low_mm3 + t.high_mm3) / 2)) as half_band
  from counting c join base b on b.spec_no = c.spec_no and b.point = c.point
  join test_points t on t.spec_no = c.spec_no and t.point = c.point join specs s on s.spec_no = c.spec_no
  where t.low_mm3 + t.high_mm3 > 0
  group by c.job_no, c.bench_id, c.run, c.repeat, s.elements having count(*) = s.elements
)`;
