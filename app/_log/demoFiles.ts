import type { LogFile } from '../../lib/log/inspect';
import type { TableName } from '../../lib/log/table';

/** The demo log, served from our own origin beside the pages. The bundler needs each address written out. */
const addresses: Readonly<Record<Exclude<TableName, 'remarks'>, string>> = {
  specs: new URL('../../data-demo/log/specs.parquet', import.meta.url).href,
  cam_lift: new URL('../../data-demo/log/cam_lift.parquet', import.meta.url).href,
  test_points: new URL('../../data-demo/log/test_points.parquet', import.meta.url).href,
  checks: new URL('../../data-demo/log/checks.parquet', import.meta.url).href,
  instruments: new URL('../../data-demo/log/instruments.parquet', import.meta.url).href,
  jobs: new URL('../../data-demo/log/jobs.parquet', import.meta.url).href,
  closures: new URL('../../data-demo/log/closures.parquet', import.meta.url).href,
  shims: new URL('../../data-demo/log/shims.parquet', import.meta.url).href,
  draws: new URL('../../data-demo/log/draws.parquet', import.meta.url).href,
  barrels: new URL('../../data-demo/log/barrels.parquet', import.meta.url).href,
  governor: new URL('../../data-demo/log/governor.parquet', import.meta.url).href,
  parts: new URL('../../data-demo/log/parts.parquet', import.meta.url).href,
};

/** The demo log's files; fails where the server does not hand one out. */
export const demoLog = (): Promise<readonly LogFile[]> =>
  Promise.all(
    Object.entries(addresses).map(async ([table, url]): Promise<LogFile> => {
      const response = await fetch(url);
      if (!response.ok) throw new Error(`The demo log could not be read (${table}: ${response.status}).`);
      return { name: `${table}.parquet`, blob: await response.blob(), path: null };
    }),
  );
