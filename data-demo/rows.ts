import type { z } from 'zod';
import type { barrels, closures, draws, governor, jobs, parts, shims } from '../lib/log/tables/jobs';
import type { camLift, checks, instruments, specs, testPoints } from '../lib/log/tables/specs';

/** The rows of a log before anything is spoilt, typed by the tables' own schemas. */
export interface Rows {
  specs: z.infer<typeof specs.schema>;
  cam_lift: z.infer<typeof camLift.schema>;
  test_points: z.infer<typeof testPoints.schema>;
  checks: z.infer<typeof checks.schema>;
  instruments: z.infer<typeof instruments.schema>;
  jobs: z.infer<typeof jobs.schema>;
  closures: z.infer<typeof closures.schema>;
  shims: z.infer<typeof shims.schema>;
  draws: z.infer<typeof draws.schema>;
  barrels: z.infer<typeof barrels.schema>;
  governor: z.infer<typeof governor.schema>;
  parts: z.infer<typeof parts.schema>;
}

export const specTables = ['specs', 'cam_lift', 'test_points', 'checks', 'instruments'] as const;
export const jobTables = ['jobs', 'closures', 'shims', 'draws', 'barrels', 'governor', 'parts'] as const;
/** The tables that the shop's log has: nobody has remarked on its jobs. */
export const shopTables = [...specTables, ...jobTables] as const;
export type ShopTable = (typeof shopTables)[number];
export type SpecTable = (typeof specTables)[number];
export type JobTable = (typeof jobTables)[number];

export type CleanRows<T extends ShopTable> = { [K in T]: Rows[K][] };

export type Cell = string | number | boolean | null | undefined;
/** A row as it is written: a spoilt cell may hold what its column does not allow. */
export type WrittenRow = Readonly<Record<string, Cell>>;
export type WrittenRows = Partial<Record<ShopTable, readonly WrittenRow[]>>;

export const emptyJobRows = (): CleanRows<JobTable> => ({
  jobs: [],
  closures: [],
  shims: [],
  draws: [],
  barrels: [],
  governor: [],
  parts: [],
});

/** To the nearest `1 / parts`, without the dust that multiplying by a step leaves behind. */
export const nearest = (value: number, parts: number): number => {
  const rounded = Math.round(value * parts) / parts;
  return rounded === 0 ? 0 : rounded;
};
