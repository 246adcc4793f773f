import { z } from 'zod';
import { question } from '../question';
import { int, text } from './rows';

const row = z.object({ kind: z.enum(['model', 'work', 'bench']), value: text, jobs: int });
export type FilterChoice = z.infer<typeof row>;

/** What there is to choose from in the filters, with how many jobs of the whole log each has. */
export const filterChoices = question<null, FilterChoice>(
  'filterChoices',
  row,
  () => [],
  `select 'model' as kind, pump_model as value, count(*)::integer as jobs from jobs group by pump_model
  union all
  select 'work', work_type, count(*)::integer from jobs group by work_type
  union all
  select 'bench', bench_id, count(*)::integer from jobs where bench_id is not null group by bench_id
  order by kind, value`,
);
