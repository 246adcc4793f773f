import { GrowingResults, int, type Slice } from './columns';
import { GaugeBook } from './proof/gauges';
import { JobCalibration, type JobSlices } from './job';
import type { Results } from './layout';
import { prepareSpec, type PreparedSpec } from './prepare';
import type { Gauge, Readings, Spec } from './types';

const NO_GAUGES: ReadonlyMap<number, Gauge> = new Map();

/** Throws RangeError where a row sorts before the one above it, keys compared from left to right. */
function checkAscending(table: string, keys: readonly Int32Array[]): void {
  const [first] = keys;
  if (first === undefined) return;
  for (let row = 1; row < first.length; row++) {
    for (const key of keys) {
      const above = int(key, row - 1);
      const here = int(key, row);
      if (here > above) break;
      if (here < above) throw new RangeError(`Readings of ${table} are not in order at row ${row}`);
    }
  }
}

function checkOrder({ jobs, closures, shims, draws, barrels, governor }: Readings): void {
  for (let row = 1; row < jobs.job_no.length; row++) {
    if (int(jobs.job_no, row) <= int(jobs.job_no, row - 1)) {
      throw new RangeError(`Jobs are not in order, or one is there twice, at row ${row}`);
    }
  }
  checkAscending('closures', [closures.job_no, closures.run, closures.element]);
  checkAscending('shims', [shims.job_no, shims.run, shims.element]);
  checkAscending('draws', [draws.job_no, draws.run, draws.point, draws.element, draws.repeat]);
  checkAscending('barrels', [barrels.job_no, barrels.run, barrels.element]);
  checkAscending('governor', [governor.job_no, governor.run, governor.check]);
}

/** Moves a slice on to the rows of `job`, which follow the last job's. */
function moveTo(table: string, jobNumbers: Int32Array, job: number, slice: Slice): void {
  slice.start = slice.end;
  while (slice.end < jobNumbers.length && int(jobNumbers, slice.end) === job) slice.end++;
  const next = jobNumbers[slice.end];
  if (next !== undefined && next < job)
    throw new RangeError(`Readings of ${table} name job ${next}, which is not given`);
}

function checkAllRead(table: string, jobNumbers: Int32Array, slice: Slice): void {
  const left = jobNumbers[slice.end];
  if (left !== undefined) throw new RangeError(`Readings of ${table} name job ${left}, which is not given`);
}

/**
 * Works out all jobs in `readings`: the whole engine in one call. Each job stands alone, so a batch of jobs gives the same rows
 * as each by itself. Data never makes it throw; missing readings (NaN) give empty reals and the code that says so.
 *
 * @param specs specification revisions by `spec_no`
 * @param readings columns as lib/calc/types describes, in the order given there
 * @param gauges gauges by number; a reading whose gauge is not among them is judged without uncertainty
 * @returns every result table, ascending by job_no and in the order of work within a job
 * @throws RangeError where rows are out of order, a row's job is not given, a job's `spec_no` is unknown, or a specification
 *   is not what its type promises
 */
export function calibrate(
  specs: ReadonlyMap<number, Spec>,
  readings: Readings,
  gauges: ReadonlyMap<number, Gauge> = NO_GAUGES,
): Results {
  checkOrder(readings);
  const prepared = new Map<number, PreparedSpec>();
  let elements = 0;
  let points = 0;
  for (const [number, spec] of specs) {
    prepared.set(number, prepareSpec(spec));
    elements = Math.max(elements, spec.elements);
    points = Math.max(points, spec.test_points.length);
  }
  const out = new GrowingResults(readings);
  const calibration = new JobCalibration(readings, elements, points, new GaugeBook(gauges), out);
  const { jobs, closures, shims, draws, barrels, governor } = readings;
  const slices: JobSlices = {
    closures: { start: 0, end: 0 },
    shims: { start: 0, end: 0 },
    draws: { start: 0, end: 0 },
    barrels: { start: 0, end: 0 },
    governor: { start: 0, end: 0 },
  };
  for (let row = 0; row < jobs.job_no.length; row++) {
    const job = int(jobs.job_no, row);
    const spec = prepared.get(int(jobs.spec_no, row));
    if (spec === undefined)
      throw new RangeError(`Job ${job} names specification ${int(jobs.spec_no, row)}, which is not given`);
    moveTo('closures', closures.job_no, job, slices.closures);
    moveTo('shims', shims.job_no, job, slices.shims);
    moveTo('draws', draws.job_no, job, slices.draws);
    moveTo('barrels', barrels.job_no, job, slices.barrels);
    moveTo('governor', governor.job_no, job, slices.governor);
    const card = { job, day: int(jobs.received_day, row), statedPass: int(jobs.stated_pass, row) };
    calibration.calibrate(card, spec, slices);
  }
  checkAllRead('closures', closures.job_no, slices.closures);
  checkAllRead('shims', shims.job_no, slices.shims);
  checkAllRead('draws', draws.job_no, slices.draws);
  checkAllRead('barrels', barrels.job_no, slices.barrels);
  checkAllRead('governor', governor.job_no, slices.governor);
  return out.finish();
}
