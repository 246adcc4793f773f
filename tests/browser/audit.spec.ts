import { readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test, WAIT, type Page } from './desk';
import { csvParse } from 'd3-dsv';
import { unzipSync } from 'fflate';
import { expectAccessible, expectNoSidewaysScroll } from './accessible';
import { headlessResults } from './headless';
import { openDemo, tableOf, turnTo } from './log';

async function openAudit(page: Page): Promise<void> {
  await turnTo(page, 'Audit');
  await expect(page.locator('p.lead')).toContainText('would hold', WAIT);
}

/** Job numbers of the queue as far as the table shows them. */
const listed = (page: Page): Promise<string[]> =>
  page.getByRole('table', { name: 'Jobs in the queue' }).locator('tbody tr td:first-child').allInnerTexts();

test('the first sentence and the reasons are what the headless results come to', async ({ desk: page }) => {
  const findings = headlessResults('findings');
  const outcomes = headlessResults('outcomes');
  const breaking = new Set(
    findings.filter((row) => row.severity === 'breaks the proof').map((row) => row.job_id ?? ''),
  );
  const broken = outcomes.filter((row) => row.as_left !== 'in' || breaking.has(row.job_id ?? ''));
  const wrongSign = new Set(
    findings.filter((row) => row.finding === 'shim change stated with the wrong sign').map((row) => row.job_id),
  );
  await openAudit(page);
  const lead = page.locator('p.lead');
  await expect(lead).toContainText(/^Of 148\swarranty jobs/);
  const parts = /^Of (\d+)\D+(\d+) would hold \(\d+ to \d+\s%\), (\d+) with remarks, (\d+) would not\./;
  const counts = (text: string): number[] => (parts.exec(text) ?? []).slice(1).map(Number);
  const [all = 0, ...states] = counts(await lead.innerText());
  expect(states.reduce((sum, n) => sum + n, 0)).toBe(all);

  await page.getByRole('checkbox', { name: 'Warranty jobs only' }).uncheck();
  await expect(lead).toContainText(/^Of 2.?533\sjobs/, WAIT);
  const told = /, (\d+) would not\./.exec((await lead.innerText()).replace(/[\u202f]/g, ''));
  expect(Number(told?.[1])).toBe(broken.length);
  const row = page
    .getByRole('table', { name: 'Reasons, by jobs' })
    .getByRole('row', { name: /shim change stated with the wrong sign/ });
  await expect(row.getByRole('cell').nth(2)).toHaveText(String(wrongSign.size));
  await row.getByRole('button').click();
  await expect(page.getByText(`${wrongSign.size}\u00a0jobs of`)).toBeVisible();
  for (const id of await listed(page)) expect(wrongSign).toContain(id);
});

test('a drawn sample is the same from the copied address, and another with another seed', async ({ page }) => {
  await openDemo(page);
  await openAudit(page);
  await page.getByLabel('Look at').selectOption({ label: 'A sample drawn by stated risks' });
  await expect(page).toHaveURL(/seed=\d+/);
  await expect(page.getByRole('heading', { name: 'Jobs drawn' })).toBeVisible();
  // 15 of 148 are a tenth: with 26 drawn and none allowed such a lot passes with a chance of at most 5 %.
  await expect(page.getByText(/^Plan: look at 26 of the 148\swarranty jobs/)).toBeVisible();
  const drawn = await listed(page);
  expect(drawn).toHaveLength(26);
  const address = page.url();
  // The demo log opens by itself again, as the browser keeps which one was open.
  await page.goto(address);
  await expect(page.getByRole('heading', { name: 'Jobs drawn' })).toBeVisible(WAIT);
  expect(await listed(page)).toEqual(drawn);

  const seed = page.getByLabel('Seed');
  await seed.fill(String(Number(await seed.inputValue()) + 1));
  await seed.press('Enter');
  await expect.poll(() => listed(page)).not.toEqual(drawn);

  await page.getByLabel('Look at').selectOption({ label: 'A sample drawn by ISO 2859-1' });
  // MIL-STD-105E: a lot of 91 to 150 at level II has letter F; the plan at 1.0 stands at letter E, 13 drawn, none accepted.
  await expect(page.getByText(/^Plan: look at 13 of the 148\swarranty jobs, accept with up to 0/)).toBeVisible();
  await expect(page.getByText(/has letter F, for which the table has no plan/)).toBeVisible();
});

test('a pasted list is looked up, what is not in the log is named, and its records are saved', async ({
  desk: page,
  context,
}) => {
  await openAudit(page);
  const [first = '', second = ''] = await listed(page);
  await page.getByText('Paste a list of jobs').click();
  await page.getByLabel('Job, serial or claim numbers, a line each').fill(`${first}\n${second}\nCLAIM-77`);
  await page.getByRole('button', { name: 'Use this list' }).click();
  await expect(page.locator('p.lead')).toContainText(/^Of 2\swarranty jobs/, WAIT);
  await expect(page.getByText(/CLAIM-77/).first()).toBeVisible();

  const download = page.waitForEvent('download', { timeout: 120_000 });
  await page.getByRole('button', { name: 'Save 2\u00a0records' }).click();
  const path = await (await download).path();
  await expect(page.getByText('2\u00a0records saved.')).toBeVisible();
  const files = unzipSync(new Uint8Array(readFileSync(path)));
  const rows = csvParse(new TextDecoder().decode(files['index.csv']));
  expect(rows.map((row) => row.job)).toEqual([first, second]);
  const record = join(tmpdir(), `audit-${process.pid}.html`);
  writeFileSync(record, files[rows[0]?.file ?? ''] ?? '');
  const opened = await context.newPage();
  await opened.goto(pathToFileURL(record).href);
  await expect(opened.getByRole('heading', { level: 1 })).toContainText(first);
  await expect(opened.getByText(rows[0]?.record_sha256 ?? 'none').first()).toBeVisible();
});

test('a claim number that is looked up shows its job, and one that no job states is named in words', async ({
  desk: page,
}) => {
  await openAudit(page);
  const claimOf = ([, , , , , claim = '']: readonly string[]): string => claim;
  // A card may leave its claim out; the table then has a dash.
  const stated = (await tableOf(page, 'Jobs in the queue')).find((row) => /\d/.test(claimOf(row))) ?? [];
  const [id = 'none'] = stated;
  const claim = claimOf(stated);
  const number = page.getByLabel('Job, serial or claim number', { exact: true });
  await number.fill(claim);
  await page.getByRole('button', { name: 'Look up' }).click();
  await expect.poll(() => listed(page)).toContain(id);
  for (const row of await tableOf(page, 'Jobs in the queue')) expect(claimOf(row)).toBe(claim);
  await expect(page.locator('p.lead')).toContainText(/^Of \d+\swarranty jobs?,/);
  await expect(page.getByText('is no job, serial or claim number of the jobs looked at')).toHaveCount(0);

  await number.fill('CLAIM-77');
  await number.press('Enter');
  await expect(page.getByText(/CLAIM-77 is no job, serial or claim number of the jobs looked at/)).toBeVisible();
  await expect(page.getByRole('table', { name: 'Jobs in the queue' })).toHaveCount(0);
});

test('saving can be called off', async ({ desk: page }) => {
  await openAudit(page);
  await page.getByRole('button', { name: /^Save 148/ }).click();
  await page.getByRole('button', { name: 'Call off' }).click();
  await expect(page.getByText('Called off; nothing was saved.')).toBeVisible(WAIT);
});

for (const scheme of ['light', 'dark'] as const) {
  test(`the page is accessible by the usual rules and fits a telephone, ${scheme}`, async ({ desk: page }) => {
    await page.setViewportSize({ width: 390, height: 844 });
    await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
    await openAudit(page);
    await page.getByLabel('Look at').selectOption({ label: 'A sample drawn by stated risks' });
    await expect(page.getByRole('heading', { name: 'The sample' })).toBeVisible();
    await expectAccessible(page);
    await expectNoSidewaysScroll(page);
  });
}
