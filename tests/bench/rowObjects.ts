import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { group, mean } from 'd3-array';
import { csvParse, type DSVRowString } from 'd3-dsv';

/**
 * The plain approach, to be timed against: every CSV row an object, and the same sums as sums.ts gone through row by row. Shares the
 * sums' want of reasons and exclusions.
 */

type Row = DSVRowString;
const figure = (row: Row | undefined, column: string): number => {
  const written = row?.[column];
  return written === undefined || written === '' ? NaN : Number(written);
};
const keyOf = (row: Row, ...columns: readonly string[]): string => columns.map((column) => row[column] ?? '').join('|');

const STRAIGHT_RATE = 0.2;
const FULL_TURN = 360;

function retentions(
  deliveries: ReadonlyMap<string, number>,
  points: ReadonlyMap<string, Row>,
  jobs: ReadonlyMap<string, Row>,
): number {
  let n = 0;
  const full = new Map<string, number>();
  const low = new Map<string, number>();
  for (const [key, mm3] of deliveries) {
    const [job = '', run = '', point = '', element = ''] = key.split('|');
    const card = jobs.get(job);
    const purpose = points.get(`${card?.spec_id ?? ''}|${card?.spec_revision ?? ''}|${point}`)?.purpose;
    if (purpose === 'full') full.set(`${job}|${run}|${element}`, mm3);
    else if (purpose === 'low-speed') low.set(`${job}|${run}|${element}`, mm3);
  }
  for (const [key, mm3] of low) if (Number.isFinite(mm3 / (full.get(key) ?? NaN))) n += 1;
  return n;
}

function phasing(closures: readonly Row[], jobs: ReadonlyMap<string, Row>, specs: ReadonlyMap<string, Row>): number {
  let within = 0;
  for (const rows of group(closures, (row) => keyOf(row, 'job_id', 'run')).values()) {
    const card = jobs.get(rows[0]?.job_id ?? '');
    const spec = specs.get(`${card?.spec_id ?? ''}|${card?.spec_revision ?? ''}`);
    const order = (spec?.firing_order ?? '').split(/[- ]/);
    const reference = figure(
      rows.find((row) => row.element === order[0]),
      'cam_deg',
    );
    for (const row of rows) {
      const place = order.indexOf(row.element ?? '');
      const error = figure(row, 'cam_deg') - reference - (place * FULL_TURN) / order.length;
      const change = -error * (figure(spec, 'lift_rate_mm_per_deg') || STRAIGHT_RATE);
      if (Number.isFinite(change) && Math.abs(error) <= (figure(spec, 'phasing_tol_deg') || 0.5)) within += 1;
    }
  }
  return within;
}

export function rowObjects(folder: string): Promise<Readonly<Record<string, number>>> {
  const start = performance.now();
  const tables = new Map(
    readdirSync(folder).map((file): [string, readonly Row[]] => [
      file.replace(/\.csv$/, ''),
      csvParse(readFileSync(join(folder, file), 'utf8')),
    ]),
  );
  const read = performance.now() - start;
  const rows = (name: string): readonly Row[] => tables.get(name) ?? [];
  const jobs = new Map(rows('jobs').map((row) => [row.job_id ?? '', row]));
  const points = new Map(rows('test_points').map((row) => [keyOf(row, 'spec_id', 'revision', 'test_point'), row]));
  const specs = new Map(rows('specs').map((row) => [keyOf(row, 'spec_id', 'revision'), row]));
  const inWindow = rows('draws').filter((row) => {
    const card = jobs.get(row.job_id ?? '');
    const point = points.get(`${card?.spec_id ?? ''}|${card?.spec_revision ?? ''}|${row.test_point ?? ''}`);
    return (
      row.rack_mm === '' || Math.abs(figure(row, 'rack_mm') - figure(point, 'rack_mm')) <= figure(point, 'rack_tol_mm')
    );
  });
  const deliveries = new Map(
    [...group(inWindow, (row) => keyOf(row, 'job_id', 'run', 'test_point', 'element'))].map(([key, own]) => [
      key,
      mean(own, (row) => (1000 * figure(row, 'volume_cm3')) / figure(row, 'strokes')) ?? NaN,
    ]),
  );
  const spreads = [...group(deliveries, ([key]) => key.slice(0, key.lastIndexOf('|'))).values()].map((own) => {
    const values = own.map(([, mm3]) => mm3);
    return Math.max(...values) - Math.min(...values);
  });
  const counted = spreads.length + retentions(deliveries, points, jobs) + phasing(rows('closures'), jobs, specs);
  if (counted === 0) throw new Error('Nothing was summed.');
  return Promise.resolve({ read, summed: performance.now() - start - read });
}
