import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { OCCASION, occasion, RETENTION_READ } from './retentionByModel';
import { day, eightInTen, eightInTenRow, int } from './rows';

const row = z.object({ element: int, occasion, quarter: day, ...eightInTenRow });
export type RetentionElementQuarter = z.infer<typeof row>;

/** Low-speed retention of each element by quarter, over the picked jobs. */
export const retentionByElement = question<Filters, RetentionElementQuarter>(
  'retentionByElement',
  row,
  filterValues,
  `with ${PICKED_JOBS}, ${RETENTION_READ}
  select element, ${OCCASION}, quarter::varchar as quarter, ${eightInTen('retention')}
  from retention_read
  group by element, is_left, quarter order by element, is_left, quarter`,
);
