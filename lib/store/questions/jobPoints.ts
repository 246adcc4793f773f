import { z } from 'zod';
import { ASSUMED_REFERENCE_C } from '../../calc/delivery/petroleum';
import { question } from '../question';
import { int, maybeInt, maybeReal, maybeText, real, text, verdict, yesNo } from './rows';

const row = z.object({
  run: int,
  point: int,
  test_point: text,
  purpose: maybeText,
  speed_rpm: maybeReal,
  speed_tol_rpm: maybeReal,
  rack_mm: maybeReal,
  rack_tol_mm: maybeReal,
  fluid_low_c: maybeReal,
  fluid_high_c: maybeReal,
  feed_low_kpa: maybeReal,
  feed_high_kpa: maybeReal,
  elements_measured: int,
  mean_mm3: maybeReal,
  low_mm3: maybeReal,
  high_mm3: maybeReal,
  mean_verdict: verdict,
  spread: maybeReal,
  spread_limit: maybeReal,
  spread_basis: text,
  spread_verdict: verdict,
  unchecked: int,
  speed_tolerance_assumed: yesNo,
  verdict,
  mean_at_reference_mm3: maybeReal,
  reference_assumed: yesNo,
  /** Temperature that deliveries are brought to; 40 degrees C where the specification states none. */
  reference_c: real,
  mean_uncertainty_mm3: maybeReal,
  spread_uncertainty: maybeReal,
  decision: verdict,
  scatter_percent: maybeReal,
  /** Where the test point stands in the files. */
  file: maybeText,
  row_no: maybeInt,
});
export type JobPoint = z.infer<typeof row>;

/** Every test point of one job in every run, with its windows, in the order of work. */
export const jobPoints = question<{ readonly id: string }, JobPoint>(
  'jobPoints',
  row,
  (args) => [args.id],
  `select r.run, r.point, r.test_point, t.purpose, t.speed_rpm, t.speed_tol_rpm, t.rack_mm, t.rack_tol_mm,
    t.fluid_low_c, t.fluid_high_c, t.feed_low_kpa, t.feed_high_kpa,
    r.elements_measured, r.mean_mm3, r.low_mm3, r.high_mm3, r.mean_verdict, r.spread, r.spread_limit, r.spread_basis,
    r.spread_verdict, r.unchecked, r.speed_tolerance_assumed, r.verdict,
    r.mean_at_reference_mm3, r.reference_assumed, coalesce(s.reference_c, ${ASSUMED_REFERENCE_C})::double as reference_c,
    r.mean_uncertainty_mm3, r.spread_uncertainty, r.decision, r.scatter_percent,
    src.file, t.row_no
  from points r
  join jobs j on j.job_no = r.job_no
  join specs s on s.spec_no = j.spec_no
  left join test_points t on t.spec_no = j.spec_no and t.point = r.point
  left join sources src on src.source_no = t.source_no
  where j.job_id = $1::varchar
  order by t."order" asc nulls last, r.test_point, r.run`,
);
