import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { day, int, middleHalf, middleHalfRow, real } from './rows';

const row = z.object({ element: int, quarter: day, ...middleHalfRow, out: int, tolerance: real });
export type ErrorQuarter = z.infer<typeof row>;

/** Phase errors as received by element and quarter [degrees of camshaft, minus is early], with the widest tolerance met. */
export const phaseErrorsByQuarter = question<Filters, ErrorQuarter>(
  'phaseErrorsByQuarter',
  row,
  filterValues,
  `with ${PICKED_JOBS}
  select f.element, p.quarter::varchar as quarter, ${middleHalf('f.error_deg')},
    (count(*) filter (where f.is_out))::integer as out,
    max(f.tolerance_deg)::double as tolerance
  from picked p
  join received_errors f on f.job_no = p.job_no
  group by f.element, quarter order by f.element, quarter`,
);
