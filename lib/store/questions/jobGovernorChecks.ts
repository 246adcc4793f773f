import { z } from 'zod';
import { codes } from '../../calc/layout';
import { question } from '../question';
import { int, maybeReal, maybeText, THIS_JOB, verdict } from './rows';

const row = z.object({
  run: int,
  check_id: maybeText,
  at_rpm: maybeReal,
  at_boost_kpa: maybeReal,
  value: maybeReal,
  low: maybeReal,
  high: maybeReal,
  unit: z.enum(codes.check_unit),
  basis: z.enum(codes.governor_basis),
  readings: int,
  verdict,
});
export type JobGovernorCheck = z.infer<typeof row>;

/** Governor and accessory checks of one job, judged. */
export const jobGovernorChecks = question<{ readonly id: string }, JobGovernorCheck>(
  'jobGovernorChecks',
  row,
  (args) => [args.id],
  `select run, check_id, at_rpm, at_boost_kpa, value, low, high, unit, basis, readings, verdict
  from governor_checks where ${THIS_JOB} order by run, "check", at_rpm nulls first, at_boost_kpa nulls first, low, high`,
);
