import { sqlText } from './database';

/**
 * Where the figures of a job lie in their bands as it left, one of each a job: of readings in different units and to different sheets, so that
 * they can be told together. Of a band with two ends -1 is the lower limit and 1 the upper one; of a figure with an upper limit alone 0 is
 * nothing and 1 the limit.
 */
export const roomFigures = ['lift', 'phasing', 'delivery', 'spread'] as const;
export type RoomFigure = (typeof roomFigures)[number];
const figure = (name: RoomFigure): string => `${sqlText(name)} as figure`;

/** Those judged by an upper limit alone: by their size, whatever its sign. */
export const ONE_SIDED: ReadonlySet<RoomFigure> = new Set(['phasing', 'spread']);

export const LEFT_PLACES_TABLE = `create table left_places (job_no INTEGER, figure VARCHAR, place DOUBLE, is_out BOOLEAN,
  is_assumed BOOLEAN);`;

const between = (value: string, low: string, high: string): string =>
  `(2 * ${value} - ${low} - ${high}) / (${high} - ${low})`;

/**
 * Of each job its last run after assembly in which the stage was read, and of that run what it has whole: a figure of some elements
 * alone, or of an earlier run that was corrected since, is not how the pump left. The delivery is that at the base point. With one element
 * nothing is phased or spread.
 * @param jobs a relation of the job numbers
 */
export const leftPlaces = (jobs: string): string => `insert into left_places
  with closed as (
    select t.*, s.elements from timing t join job_cards j using (job_no) join specs s on s.spec_no = j.spec_no
    where t.run >= 1 and t.elements_measured > 0 and t.job_no in (${jobs})
    qualify t.run = max(t.run) over (partition by t.job_no)
  ), drawn as (
    select p.*, s.elements from points p join job_cards j using (job_no) join specs s on s.spec_no = j.spec_no
    join base_points b on b.spec_no = j.spec_no and b.point = p.point
    where p.run >= 1 and p.elements_measured > 0 and p.job_no in (${jobs})
    qualify p.run = max(p.run) over (partition by p.job_no)
  )
  select job_no, ${figure('lift')}, ${between('lift_mm', 'low_mm', 'high_mm')} as place, timing_verdict = 'out' as is_out, false as is_assumed
    from closed where lift_mm is not null and high_mm > low_mm
  union all select job_no, ${figure('phasing')}, abs(worst_error_deg) / tolerance_deg, phasing_verdict = 'out', tolerance_assumed = 'yes'
    from closed where elements > 1 and elements_measured = elements and tolerance_deg > 0
  union all select job_no, ${figure('delivery')}, ${between('mean_mm3', 'low_mm3', 'high_mm3')}, mean_verdict = 'out', false
    from drawn where elements_measured = elements and high_mm3 > low_mm3
  union all select job_no, ${figure('spread')}, spread / spread_limit, spread_verdict = 'out', false
    from drawn where elements > 1 and elements_measured = elements and spread is not null and spread_limit > 0`;
