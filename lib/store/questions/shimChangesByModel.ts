import { z } from 'zod';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { adjuster, int, middleHalf, middleHalfRow, ONE_ADJUSTER, text } from './rows';

const row = z.object({ pump_model: text, element: int, ...middleHalfRow, adjuster: adjuster.nullable() });
export type ElementOfModel = z.infer<typeof row>;

/** Changes made to stacks by model and element, over all picked jobs [mm, plus is added, or a screw raised]. */
export const shimChangesByModel = question<Filters, ElementOfModel>(
  'shimChangesByModel',
  row,
  filterValues,
  `with ${PICKED_JOBS}
  select p.pump_model, f.element, ${middleHalf('f.made_mm')},
    ${ONE_ADJUSTER} as adjuster
  from picked p join stack_changes f on f.job_no = p.job_no join specs s on s.spec_no = p.spec_no
  group by p.pump_model, f.element order by p.pump_model, f.element`,
  ofOneModel,
);
