import { z } from 'zod';
import { codes } from '../../calc/layout';
import { question } from '../question';
import { int, maybeReal, maybeText } from './rows';

const row = z.object({
  run: int,
  test_point: maybeText,
  status: z.enum(codes.balance),
  turned: int,
  turned_with_rack: int,
  target_mm3: maybeReal,
  rack_move_mm: maybeReal,
  mean_after_mm3: maybeReal,
  spread_after: maybeReal,
  /** The basis that the spread is reckoned on. */
  spread_basis: z.enum(codes.spread_basis),
  per_degree_mm3: maybeReal,
  per_degree_basis: z.enum(codes.gain_basis),
  per_rack_mm3: maybeReal,
  per_rack_basis: z.enum(codes.gain_basis),
  gain_ratio: maybeReal,
  done_turned: int,
  done_deg: maybeReal,
});
export type JobBalancePlan = z.infer<typeof row>;

/** The least-rework balance plan after each run of one job, beside what was turned. */
export const jobBalancePlans = question<{ readonly id: string }, JobBalancePlan>(
  'jobBalancePlans',
  row,
  (args) => [args.id],
  `select b.run, b.test_point, b.status, b.turned, b.turned_with_rack, b.target_mm3, b.rack_move_mm, b.mean_after_mm3,
    b.spread_after, coalesce(t.spread_basis, 'range_mm3') as spread_basis, b.per_degree_mm3, b.per_degree_basis,
    b.per_rack_mm3, b.per_rack_basis, b.gain_ratio, b.done_turned, b.done_deg
  from balance_plans b
  join jobs j on j.job_no = b.job_no
  left join test_points t on t.spec_no = j.spec_no and t.point = b.point
  where j.job_id = $1::varchar order by b.run`,
);
