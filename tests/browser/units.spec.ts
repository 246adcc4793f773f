import AxeBuilder from '@axe-core/playwright';
import { expect, patient, test, WAIT, type Locator, type Page } from './desk';
import { headlessResults } from './headless';
import { openDemo, turnTo } from './log';

/** As it is read: hard spaces are spaces. */
const words = async (place: Locator): Promise<string> => (await place.innerText()).replaceAll('\u00a0', ' ');

async function openJob(page: Page, job: string): Promise<void> {
  await openDemo(page);
  await turnTo(page, 'Jobs');
  await page.getByRole('searchbox').fill(job);
  await page.getByRole('link', { name: job, exact: true }).click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText(job);
  await expect(page.locator('[aria-busy=true]')).toHaveCount(0);
}

async function choose(page: Page, ...names: readonly string[]): Promise<void> {
  await page.getByRole('button', { name: 'Units', exact: true }).press('Enter');
  for (const name of names) await page.getByRole('radio', { name, exact: true }).check();
  await page.keyboard.press('Escape');
  await expect(page.getByRole('radio')).toHaveCount(0);
  await expect(page.getByRole('button', { name: 'Units', exact: true })).toBeFocused();
}

const RUN = '1';
const phasing = headlessResults('phasing').filter((row) => row.run === RUN);
/** Jobs whose plan after run 1 moves one shim. */
const oneShim = new Set(
  headlessResults('shim_plans')
    .filter((row) => row.run === RUN && row.status === 'possible' && row.barrels === '1')
    .map((row) => row.job_id),
);
const byScrew = new Set(phasing.filter((row) => row.screw_turns !== '').map((row) => row.job_id));
const timing = headlessResults('timing').find(
  (row) => row.run === RUN && Number(row.lift_mm) > 0 && oneShim.has(row.job_id) && !byScrew.has(row.job_id),
);
const job = timing?.job_id ?? '';
const lift = Number(timing?.lift_mm);
const moved = phasing.find((row) => row.job_id === job && Math.abs(Number(row.plan_mm)) > 1e-9);
/** An element that is not the reference, whose own closure says nothing of an error. */
const follower = phasing.find((row) => row.job_id === job && Math.abs(Number(row.error_deg)) > 0);
const step = Math.abs(Number(moved?.plan_mm));

test('a job is read in inches, thou and crankshaft degrees, and the choice is kept in this browser alone', async ({
  page,
  browser,
}) => {
  await openJob(page, job);
  const sheet = page.getByRole('table', { name: 'Timing and phasing, run by run' });
  const plan = page.locator('.plans li').filter({ hasText: 'Run 1, first measurement' }).first();
  await expect(sheet).toContainText(lift.toFixed(3));
  await expect(plan).toContainText(`${step.toFixed(2)} mm`);

  await choose(page, 'US customary', 'Crankshaft degrees');
  await expect(sheet).toContainText((lift / 25.4).toFixed(5));
  await expect(sheet.getByRole('columnheader', { name: /^Largest error/ })).toContainText('° crank');
  await expect(plan).toContainText(`${(step / 0.0254).toFixed(1)} thou`);
  await expect(plan).toContainText('° crank');
  await expect(page.locator('.frame svg').filter({ hasText: 'Phase error (° crank)' }).first()).toBeVisible();
  await expect(page.locator('.frame svg').filter({ hasText: 'stack, thou' }).first()).toBeVisible();
  expect(page.url()).not.toMatch(/crank|unit|us=/i);
  // The log's own figure stays in the page for whoever reads it by machine.
  await expect(sheet.locator(`data[value="${String(lift)}"]`).first()).toBeVisible();

  const link = page.url();
  await page.reload();
  // The kept log is read and worked out anew first.
  await expect(sheet).toContainText((lift / 25.4).toFixed(5), WAIT);

  const other = await browser.newContext();
  const reader = patient(await other.newPage());
  await openDemo(reader, '/');
  await turnTo(reader, 'Jobs');
  await reader.getByRole('searchbox').fill(job);
  await reader.getByRole('link', { name: job, exact: true }).click();
  await expect(reader).toHaveURL((url) => url.searchParams.get('id') === new URL(link).searchParams.get('id'));
  await expect(reader.getByRole('table', { name: 'Timing and phasing, run by run' })).toContainText(lift.toFixed(3));
  await other.close();
});

test('figures are tried in the units chosen', async ({ page }) => {
  await openJob(page, job);
  await choose(page, 'Crankshaft degrees');
  await page.getByRole('button', { name: 'Try figures' }).click();
  const tried = page.getByRole('region', { name: 'tried, not logged' });
  const field = page.getByLabel(`Closure read, element ${follower?.element ?? ''}, degrees of crankshaft`);
  const before = Number(await field.inputValue());
  const later = 2 * (Number(follower?.error_deg) + 1);
  // One degree of the camshaft later is two of the crankshaft.
  await field.fill(String(before + 2));
  const row = page.getByRole('row').filter({ has: field });
  await expect(row).toContainText(`${later < 0 ? '−' : '+'}${Math.abs(later).toFixed(2)}`);
  await expect(tried).toContainText('° crank');

  await choose(page, 'Camshaft degrees and minutes');
  const inMinutes = page.getByLabel(
    `Closure read, element ${follower?.element ?? ''}, degrees and minutes of camshaft`,
  );
  await expect(inMinutes).toHaveValue(/^\d+° \d\d\.\d′$/);
  const whole = Math.floor(before / 2);
  await inMinutes.fill(`${whole} 70`);
  const refused = page.getByRole('alert').filter({ hasText: 'not read' });
  await expect(refused).toBeVisible();
  await inMinutes.fill(`${whole} 30`);
  await expect(refused).toHaveCount(0);
  await page.getByRole('button', { name: 'Reset' }).click();
  await expect(page.getByText('All readings as logged.')).toBeVisible();
});

test('the choice is accessible and fits a phone', async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await page.goto('/');
  await page.getByRole('button', { name: 'Units', exact: true }).click();
  await expect(page.getByRole('group', { name: 'Units shown' })).toBeVisible();
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id} ${nodes.map((node) => node.html).join(' ')}`)).toEqual([]);
  const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
  expect(content).toBe(screen);
  expect(await words(page.getByRole('group', { name: 'Units shown' }))).toContain('four-stroke');
});

test('a store that is barred leaves the choice for the tab, and one that is spoilt leaves the log’s units', async ({
  page,
}) => {
  await page.addInitScript(() => {
    localStorage.setItem('shimbook.units', '{"system":"furlongs"}');
    Storage.prototype.setItem = () => {
      throw new Error('barred');
    };
  });
  await openJob(page, job);
  const sheet = page.getByRole('table', { name: 'Timing and phasing, run by run' });
  await expect(sheet).toContainText(lift.toFixed(3));
  await choose(page, 'US customary');
  await expect(sheet).toContainText((lift / 25.4).toFixed(5));
});
