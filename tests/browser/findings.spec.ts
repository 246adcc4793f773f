import { expect, test } from './desk';
import { headlessResults } from './headless';
import { tableOf, turnTo } from './log';

test('a finding on the opening page leads to its jobs, as the headless command counts them', async ({ desk: page }) => {
  const findings = headlessResults('findings');
  const jobs = new Set(findings.filter((row) => row.finding === 'gauge past its date').map((row) => row.job_id));
  const listed = await tableOf(page, 'Findings');
  expect(listed.find((cells) => cells[0] === 'gauge past its date')?.slice(1, 3)).toEqual([
    'breaks the proof',
    String(jobs.size),
  ]);
  await page.getByRole('link', { name: 'gauge past its date' }).click();
  await expect(page.getByText(new RegExp(`^${jobs.size}\\sjobs, newest first`))).toBeVisible();
  await expect(page.getByRole('combobox', { name: 'Finding' })).toHaveValue('gauge past its date');
  const first = page.getByRole('table').getByRole('link').first();
  expect(jobs).toContain(await first.innerText());
});

test('the shims page tells what would have been enough, in barrels and hours', async ({ desk: page }) => {
  const plans = headlessResults('shim_plans').filter((row) => Number(row.run) >= 1);
  const planned = new Map<string, typeof plans>();
  for (const row of plans) planned.set(row.job_id ?? '', [...(planned.get(row.job_id ?? '') ?? []), row]);
  const whole = [...planned.values()].filter(
    (rows) =>
      rows.every((row) => row.status === 'in already' || row.status === 'possible') &&
      rows.filter((row) => row.run === '1').length === 1,
  );
  const done = whole.flat().reduce((sum, row) => sum + Number(row.done_barrels), 0);
  await turnTo(page, 'Shims');
  const sentence = page.getByText(/After the first measurement/);
  await expect(sentence).toContainText(new RegExp(`${done}\\sbarrels or tappets were changed in`));
  await expect(sentence).toContainText(/hours that need not have been spent/);
});
