import type { LogTable, TableName } from '../table';
import { barrels, closures, draws, governor, jobs, parts, shims } from './jobs';
import { remarks } from './remarks';
import { camLift, checks, instruments, specs, testPoints } from './specs';

/** The tables of a log, in the order in which references can be followed: what is referred to comes first. */
export const tables: Readonly<Record<TableName, LogTable>> = {
  specs,
  cam_lift: camLift,
  test_points: testPoints,
  checks,
  instruments,
  jobs,
  closures,
  shims,
  draws,
  barrels,
  governor,
  parts,
  remarks,
};
