import { z } from 'zod';
import { filterValues, PICKED_JOBS, type Filters } from '../filters';
import { question } from '../question';
import { int } from './rows';

const row = z.object({ job_no: int });

/** The numbers of the picked jobs, to count how many of a finding's jobs are among them. */
export const pickedJobs = question<Filters, z.infer<typeof row>>(
  'pickedJobs',
  row,
  filterValues,
  `with ${PICKED_JOBS} select job_no from picked order by job_no`,
);
