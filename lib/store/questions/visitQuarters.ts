import { z } from 'zod';
import { day, eightInTen, eightInTenRow, int, text } from './rows';

/** The middle of many readings as received of one model in one quarter, and how many jobs they come from. */
export const quarterRow = z.object({ pump_model: text, quarter: day, jobs: int, ...eightInTenRow });
export type ModelQuarter = z.infer<typeof quarterRow>;

/** Those columns of an expression over `picked p`, to be grouped by p.pump_model and quarter. */
export const QUARTER_COLUMNS = (expression: string): string => `p.pump_model,
    p.quarter::varchar as quarter, count(distinct p.job_no)::integer as jobs, ${eightInTen(expression)}`;
