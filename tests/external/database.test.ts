import { DuckDBInstance, type DuckDBConnection } from '@duckdb/node-api';
import * as reference from 'simple-statistics';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { dataRows } from './csv';

// Means, standard deviations, quantiles and regressions of the shop's history are worked out by the database. Here its sums are
// held against certified values and against another library.
let db: DuckDBInstance;
let connection: DuckDBConnection;

beforeAll(async () => {
  db = await DuckDBInstance.create(':memory:');
  connection = await db.connect();
});
afterAll(() => {
  connection.closeSync();
  db.closeSync();
});

async function figures(sql: string): Promise<number[]> {
  const [row = []] = (await connection.runAndReadAll(sql)).getRows();
  return row.map(Number);
}
/** How many decimal digits two figures have in common, relative to the certified one: NIST's log relative error. */
const digits = (found: number | undefined, certified: number) =>
  found === certified ? 15 : -Math.log10(Math.abs(((found ?? NaN) - certified) / certified));

const norris = dataRows('norris.csv').map((row) => ({ x: Number(row.x), y: Number(row.y) }));
const norrisTable = `(values ${norris.map(({ x, y }) => `(${x}::double, ${y}::double)`).join(', ')}) as norris(x, y)`;

// NIST StRD, linear regression, Norris (read): B0 -0.262323073774029, B1 1.00211681802045, R2 0.999993745883712.
describe('straight line through the Norris readings', () => {
  test('slope, intercept and R2 as certified', async () => {
    const [slope, intercept, r2] = await figures(
      `select regr_slope(y, x), regr_intercept(y, x), regr_r2(y, x) from ${norrisTable}`,
    );
    expect(digits(slope, 1.00211681802045)).toBeGreaterThan(12);
    expect(digits(intercept, -0.262323073774029)).toBeGreaterThan(10);
    expect(digits(r2, 0.999993745883712)).toBeGreaterThan(12);
  });

  test('another library agrees', async () => {
    const [slope, intercept] = await figures(`select regr_slope(y, x), regr_intercept(y, x) from ${norrisTable}`);
    const line = reference.linearRegression(norris.map(({ x, y }) => [x, y]));
    expect(digits(slope, line.m)).toBeGreaterThan(10);
    expect(digits(intercept, line.b)).toBeGreaterThan(9);
  });
});

// NIST StRD, univariate summary statistics (read): certified mean and standard deviation; the readings are written out as NIST
// describes them.
describe('mean and standard deviation', () => {
  const alternating = (first: string, low: string, high: string) =>
    `(select case when k = 0 then ${first}::double when k % 2 = 1 then ${low}::double else ${high}::double end as v ` +
    'from range(1001) as r(k))';

  test.each([
    ['NumAcc1', '(values (10000001::double), (10000003::double), (10000002::double)) as t(v)', 10000002, 1, 15],
    ['NumAcc2', alternating('1.2', '1.1', '1.3'), 1.2, 0.1, 12],
    ['NumAcc3', alternating('1000000.2', '1000000.1', '1000000.3'), 1000000.2, 0.1, 9],
    ['NumAcc4', alternating('10000000.2', '10000000.1', '10000000.3'), 10000000.2, 0.1, 7],
  ])('%s as certified', async (_, table, mean, deviation, least) => {
    const [average, sd] = await figures(`select avg(v), stddev_samp(v) from ${table}`);
    expect(digits(average, mean)).toBeGreaterThan(13);
    expect(digits(sd, deviation)).toBeGreaterThanOrEqual(least);
  });
});

describe('quantiles', () => {
  // R. J. Hyndman and Y. Fan, The American Statistician 50 (1996) 361-365, definition 7: position 1 + (n - 1) p, straight lines
  // between. Values computed with numpy 2.4.6, np.quantile(y, p, method='linear') on the Norris readings.
  test.each([
    [0.1, 0.3],
    [0.25, 90.9],
    [0.5, 394.1],
    [0.75, 696.125],
    [0.9, 888.4],
  ])('the %f quantile of the Norris readings is %f', async (p, expected) => {
    const [quantile] = await figures(`select quantile_cont(y, ${p}) from ${norrisTable}`);
    expect(quantile).toBeCloseTo(expected, 10);
  });

  test('another library agrees on the median', async () => {
    const [median] = await figures(`select quantile_cont(y, 0.5) from ${norrisTable}`);
    expect(median).toBeCloseTo(reference.median(norris.map(({ y }) => y)), 12);
  });
});
