import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { QUARTER_COLUMNS, quarterRow, type ModelQuarter } from './visitQuarters';

/** Retention deficit of each model by quarter, as received, all its elements together; 0 to 1. */
export const retentionDeficitByModel = question<Filters, ModelQuarter>(
  'retentionDeficitByModel',
  quarterRow,
  filterValues,
  `with ${PICKED_JOBS}
  select ${QUARTER_COLUMNS('d.deficit')}
  from picked p join received_wear d on d.job_no = p.job_no
  where d.deficit is not null
  group by p.pump_model, quarter order by p.pump_model, quarter`,
  ofOneModel,
);
