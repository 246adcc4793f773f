import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { QUARTER_COLUMNS, quarterRow, type ModelQuarter } from './visitQuarters';

const leakQuarters = (column: 'slope_mm3_rpm' | 'clearance_um'): string => `with ${PICKED_JOBS}
  select ${QUARTER_COLUMNS(`l.${column}`)}
  from picked p join leak_reads l on l.job_no = p.job_no
  where l.${column} is not null
  group by p.pump_model, quarter order by p.pump_model, quarter`;

/** Leak slope [mm3/stroke times rpm] of each model by quarter, as received, all its elements and racks together. */
export const leakSlopeByModel = question<Filters, ModelQuarter>(
  'leakSlopeByModel',
  quarterRow,
  filterValues,
  leakQuarters('slope_mm3_rpm'),
  ofOneModel,
);

/** Equivalent clearance [um], an upper bound, likewise; only where the specification states what it is worked out from. */
export const leakClearanceByModel = question<Filters, ModelQuarter>(
  'leakClearanceByModel',
  quarterRow,
  filterValues,
  leakQuarters('clearance_um'),
  ofOneModel,
);
