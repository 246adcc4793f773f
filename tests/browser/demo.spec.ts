import { expect, test, WAIT } from './desk';
import { DEMO_LOG, headlessResults } from './headless';
import { drop, filesOf, openDemo, shutOtherHosts, tableOf, turnTo } from './log';

const NUMBER = /[−-]?\d[\d\u202f\u2009\u00a0 ]*(\.\d+)?/g;
/** A figure as the page writes it: thin spaces between thousands, a true minus. */
const read = (text: string): number => Number(text.replace(/[\u202f\u2009\u00a0 ]/g, '').replace('−', '-'));

test('the demo log, dropped on the page with every other host shut, shows what the headless command works out', async ({
  page,
}) => {
  const tried = await shutOtherHosts(page);
  const problems: string[] = [];
  page.on('pageerror', (error) => problems.push(error.message));
  await page.goto('/');
  await drop(page, filesOf(DEMO_LOG));
  const lead = page.getByText('passed first time').first();
  await expect(lead).toBeVisible(WAIT);

  const outcomes = headlessResults('outcomes');
  const passed = outcomes.filter((row) => row.first_pass === 'yes').length;
  const counted = outcomes.filter((row) => row.first_pass !== 'not counted').length;
  const sentence = (await page.locator('p.lead').innerText()).replace(/\u202f|\u2009/g, '');
  const [jobs] = sentence.match(NUMBER) ?? [];
  expect(read(jobs ?? '')).toBe(outcomes.length);
  expect(sentence).toContain(`${((100 * passed) / counted).toFixed(0)}\u00a0% passed first time`);

  const frame = page.getByRole('region', { name: /passes first time/ }).first();
  await frame.getByRole('button', { name: 'as table' }).click();
  const byModel = await tableOf(page, 'First pass by model');
  expect(byModel.reduce((sum, row) => sum + read(row[4] ?? ''), 0)).toBe(passed);
  expect(byModel.reduce((sum, row) => sum + read(row[3] ?? ''), 0)).toBe(counted);

  const files = headlessResults('files');
  const aside = files.reduce((sum, row) => sum + Number(row.rows_set_aside), 0);
  await expect(page.getByRole('region', { name: 'Set aside' })).toContainText(
    new RegExp(`${aside}\\srows of the files set aside`),
  );

  expect(tried).toEqual([]);
  expect(problems).toEqual([]);
});

test("one job's page shows the headless command's figures beside the readings", async ({ desk: page }) => {
  const phasing = headlessResults('phasing').filter(
    (row) => row.run === '1' && row.error_deg !== '' && row.made_mm !== '',
  );
  const job = phasing[Math.floor(phasing.length / 2)]?.job_id ?? '';
  await turnTo(page, 'Jobs');
  await page.getByRole('searchbox').fill(job);
  await page.getByRole('link', { name: job, exact: true }).click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText(job);

  const shown = await tableOf(page, /run 1.*closures, changes needed and changes made/i);
  const expected = headlessResults('phasing').filter((row) => row.job_id === job && row.run === '1');
  expect(shown).toHaveLength(expected.length);
  for (const row of expected) {
    const line = shown.find((cells) => cells[0] === row.element);
    const error = Number(row.error_deg);
    expect(line?.join(' | ')).toContain(
      `${error < -0.005 ? '−' : error > 0.005 ? '+' : ''}${Math.abs(error).toFixed(2)}`,
    );
    expect(line?.join(' | ')).toContain(row.verdict ?? '');
  }
});

test('the opening page tells the jobs and the rows set aside while it still recalculates', async ({ page }) => {
  // What stands on the page when the sentence first appears; looked at in the page, as a test outside would come too late.
  await page.addInitScript(() => {
    new MutationObserver((_, observer) => {
      const lead = document.querySelector('.page p.lead');
      if (lead === null) return;
      observer.disconnect();
      Object.assign(window, { first: { lead: lead.textContent, busy: document.querySelector('progress') !== null } });
    }).observe(document, { childList: true, subtree: true });
  });
  await openDemo(page);
  const first = await page.evaluate(() => (window as unknown as { first: { lead: string; busy: boolean } }).first);
  expect(first.busy).toBe(true);
  expect(first.lead).toMatch(/^2\s533\sjobs on .*follow once every job is recalculated/);
  await expect(page.getByRole('region', { name: 'Set aside' })).toBeVisible();
});
