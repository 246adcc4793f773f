import { z } from 'zod';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { int, middleHalf, middleHalfRow, real, text, verdict } from './rows';

const row = z.object({
  pump_model: text,
  element: int,
  ...middleHalfRow,
  out: int,
  tolerance: real,
  /** Nominal closure after the reference; the middle one where revisions differ. */
  nominal_deg: real,
  /** Whether the median error is within that tolerance. */
  median_verdict: verdict,
});
export type ErrorOfElement = z.infer<typeof row>;

/** Phase errors as received by model and element [degrees of camshaft, minus is early], with the widest tolerance met. */
export const phaseErrorsByModel = question<Filters, ErrorOfElement>(
  'phaseErrorsByModel',
  row,
  filterValues,
  `with ${PICKED_JOBS}
  select p.pump_model, f.element, ${middleHalf('f.error_deg')},
    (count(*) filter (where f.is_out))::integer as out,
    max(f.tolerance_deg)::double as tolerance,
    quantile_cont(f.nominal_deg, 0.5)::double as nominal_deg,
    case when abs(quantile_cont(f.error_deg, [0.25, 0.5, 0.75])[2]) <= max(f.tolerance_deg) then 'in' else 'out' end as median_verdict
  from picked p
  join received_errors f on f.job_no = p.job_no
  group by p.pump_model, f.element order by p.pump_model, f.element`,
  ofOneModel,
);
