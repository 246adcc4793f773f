import { z } from 'zod';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { day, maybeReal, maybeText, text } from './rows';
import { QUARTER_COLUMNS, quarterRow, type ModelQuarter } from './visitQuarters';

/** Scatter over the elements at the light draw [percent of their mean] of each model by quarter, as received. */
export const visitScatterByModel = question<Filters, ModelQuarter>(
  'visitScatterByModel',
  quarterRow,
  filterValues,
  `with ${PICKED_JOBS}
  select ${QUARTER_COLUMNS('l.scatter_percent')}
  from picked p join light l on l.job_no = p.job_no
  where l.run = 0
  group by p.pump_model, quarter order by p.pump_model, quarter`,
  ofOneModel,
);

const row = z.object({
  job_id: text,
  received_on: day,
  test_point: maybeText,
  /** Percent of the mean. */
  received_percent: maybeReal,
  left_percent: maybeReal,
});
export type VisitScatter = z.infer<typeof row>;

/** Of one serial number: the scatter over its elements at the light draw, visit by visit. */
export const visitScatter = question<{ readonly serial: string }, VisitScatter>(
  'visitScatter',
  row,
  (args) => [args.serial],
  `select j.job_id, j.received_on::varchar as received_on, min(l.test_point) as test_point,
    (max(l.scatter_percent) filter (where l.run = 0))::double as received_percent,
    (max_by(l.scatter_percent, l.run) filter (where l.run > 0))::double as left_percent
  from jobs j left join light l on l.job_no = j.job_no
  where j.pump_serial = $1::varchar
  group by j.job_no, j.job_id, j.received_on order by j.received_on, j.job_no`,
);
