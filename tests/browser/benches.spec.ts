import { readFileSync } from 'node:fs';
import { expect, test } from './desk';
import { z } from 'zod';
import { expectAccessible, expectNoSidewaysScroll } from './accessible';
import { tableOf, turnTo } from './log';

const truths = z
  .object({
    truths: z.array(
      z.object({
        kind: z.string(),
        subject: z.record(z.string(), z.unknown()),
        since: z.string().nullable(),
        until: z.string().nullable(),
        size: z.object({ value: z.number() }).nullable(),
      }),
    ),
  })
  .parse(JSON.parse(readFileSync('data-demo/truths.json', 'utf8'))).truths;
const planted = (kind: string) => truths.find((truth) => truth.kind === kind);

/** The figures of `+2.51 %` and `+2 to +3 %`, a true minus included. */
const figures = (text: string): number[] => (text.replaceAll('−', '-').match(/-?\d+(\.\d+)?/g) ?? []).map(Number);

test('benches: the one that reads high is named, with how much and since when', async ({ desk: page }) => {
  const high = planted('bench_reads_high');
  const bench = String(high?.subject.bench_id);
  await turnTo(page, 'Benches');
  const lead = page.locator('p.lead');
  await expect(lead).toContainText(
    new RegExp(`${bench} reads \\d\\.\\d\\s% more than the other benches since about 2021 Q[123]`),
  );
  const [low = NaN, top = NaN] = figures(/since about 2021 Q\d, ([^,]*%)/.exec(await lead.innerText())?.[1] ?? '');
  expect(low).toBeLessThan(high?.size?.value ?? NaN);
  expect(top).toBeGreaterThan(high?.size?.value ?? NaN);
  await expect(
    page.getByRole('img', { name: new RegExp(`^${bench} moved against the others about 2021`) }),
  ).toBeVisible();
  // Six reference pumps went round in each of two years; a bench 2.5 % above two others is a standard deviation of 1.4 %.
  const study = await tableOf(page, /^12\spumps tested untouched on B1, B2, B3, 2\sdraws each/);
  const between = study.find(([name]) => name === 'benches (reproducibility)');
  const [least = NaN, most = NaN] = figures(between?.[2] ?? '');
  expect(least).toBeLessThan((high?.size?.value ?? NaN) / Math.sqrt(3));
  expect(most).toBeGreaterThan((high?.size?.value ?? NaN) / Math.sqrt(3));
  expect(Number(between?.[1])).toBeGreaterThan(1);
  await expectAccessible(page);

  // Only the jobs since then: by pumps alike and by pumps that changed benches, the planted size lies within or near the interval.
  await page.getByLabel('Received from').fill(high?.since ?? '');
  const frame = page.getByRole('region', { name: /^Over these jobs: / });
  await frame.getByRole('button', { name: 'as table' }).click();
  await expect(frame.locator('tbody tr').first()).toBeVisible();
  await expect(frame.getByRole('heading')).toContainText(`${bench} +2.`);
  const rows = await tableOf(page, /^Over these jobs/);
  const own = rows.filter(([name]) => name === bench);
  expect(own.map(([, way]) => way)).toEqual(['pumps alike', 'same pumps']);
  for (const [, , , interval = ''] of own) {
    const [from = NaN, to = NaN] = figures(interval);
    expect(from).toBeGreaterThan(1.5);
    expect(from).toBeLessThan(2.5);
    expect(to).toBeGreaterThan(2.3);
    expect(to).toBeLessThan(3.5);
  }
});

test('gauges: dates are held against the last day of the log, and use past a date is told', async ({ desk: page }) => {
  const late = planted('gauge_past_due');
  await turnTo(page, 'Benches');
  await expect(page.locator('p.lead')).toContainText(
    'No gauge is past the date on 31 Dec 2025, the last day of the log.',
  );
  const rows = await tableOf(page, /^Gauges, those past the date first/);
  expect(rows).toHaveLength(18);
  const own = rows.find(([name]) => name === late?.subject.instrument_id);
  expect(Number(own?.[8])).toBeGreaterThan(50);
  const days = (own?.[9] ?? '').split(' to ').map((text) => Date.parse(`${text.replaceAll('\u00a0', ' ')} UTC`));
  expect(days[0]).toBeGreaterThanOrEqual(Date.parse(late?.since ?? ''));
  expect(days[1]).toBeLessThanOrEqual(Date.parse(late?.until ?? ''));
  expect(rows.filter((row) => row !== own && row[8] !== '0')).toEqual([]);
});

test('benches fit a telephone, and say so where there is too little', async ({ desk: page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await turnTo(page, 'Benches');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Benches and gauges');
  await expect(page.locator('[aria-busy=true]')).toHaveCount(0);
  await expectNoSidewaysScroll(page);
  await page.getByLabel('Received from').fill('2025-12-20');
  await expect(page.locator('p.lead')).toContainText('Not enough data to hold one bench against another');
  await expect(page.getByText(/^Not enough data: a bench needs 10 jobs/)).toBeVisible();
});
