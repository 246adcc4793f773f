import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { adjuster, day, int, middleHalf, middleHalfRow, ONE_ADJUSTER } from './rows';

const row = z.object({ element: int, quarter: day, ...middleHalfRow, adjuster: adjuster.nullable() });
export type QuarterOfElement = z.infer<typeof row>;

/** Changes made to each element's stack by quarter, stacks left alone not counted [mm, plus is added, or a screw raised]. */
export const shimChangesByQuarter = question<Filters, QuarterOfElement>(
  'shimChangesByQuarter',
  row,
  filterValues,
  `with ${PICKED_JOBS}
  select f.element, p.quarter::varchar as quarter, ${middleHalf('f.made_mm')},
    ${ONE_ADJUSTER} as adjuster
  from picked p join stack_changes f on f.job_no = p.job_no join specs s on s.spec_no = p.spec_no
  group by f.element, quarter order by f.element, quarter`,
);
