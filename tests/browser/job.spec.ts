import AxeBuilder from '@axe-core/playwright';
import { expect, test, type Locator, type Page } from './desk';
import type { DSVRowString } from 'd3-dsv';
import { headlessResults } from './headless';
import { tableOf, turnTo } from './log';

const RUN = '1';
const size = (figure: string | undefined): string => Math.abs(Number(figure)).toFixed(2);
/** As it is read: hard spaces are spaces. */
const words = async (place: Locator): Promise<string> => (await place.innerText()).replaceAll('\u00a0', ' ');

interface Picked {
  readonly job: string;
  readonly plan: DSVRowString;
  readonly elements: readonly DSVRowString[];
  readonly out: DSVRowString;
}

/** A job that needed shims after run 1: one element out, the lift in, and the plan moves one barrel. */
function needsShims(): Picked {
  const of = (table: string): DSVRowString[] => headlessResults(table).filter((row) => row.run === RUN);
  const phasing = of('phasing');
  const timing = of('timing');
  for (const plan of of('shim_plans')) {
    const job = plan.job_id ?? '';
    if (plan.status !== 'possible' || plan.barrels !== '1' || Number(plan.done_barrels) < 1) continue;
    if (timing.find((row) => row.job_id === job)?.timing_verdict !== 'in') continue;
    const elements = phasing.filter((row) => row.job_id === job);
    const out = elements.filter((row) => row.verdict === 'out');
    const [only] = out;
    const byScrew = elements.some((row) => row.screw_turns !== '');
    if (out.length === 1 && only !== undefined && !byScrew) return { job, plan, elements, out: only };
  }
  throw new Error('The demo log has no job that needed one shim');
}

async function openJob(page: Page, job: string): Promise<void> {
  await turnTo(page, 'Jobs');
  await page.getByRole('searchbox').fill(job);
  await page.getByRole('link', { name: job, exact: true }).click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText(job);
  await expect(page.locator('[aria-busy=true]')).toHaveCount(0);
}

/** What of the recorded job a trial must leave as it was: the sheet of run 1, and all plans. */
async function recordedOf(page: Page): Promise<readonly unknown[]> {
  return [await tableOf(page, SHEET_OF_RUN), await page.locator('.plans').allInnerTexts()];
}
const SHEET_OF_RUN = /^Run 1, first measurement: closures, changes needed and changes made/;

test.describe('a job that needed shims', () => {
  const { job, plan, elements, out } = needsShims();

  test('tells its plan in a sentence, as the headless command works it out, with the cautions beside it', async ({
    desk: page,
  }) => {
    await openJob(page, job);
    const planned = page.locator('.plans li').filter({ hasText: 'Run 1, first measurement' }).first();
    const moved = elements.filter((row) => Math.abs(Number(row.plan_mm)) > 1e-9);
    expect(moved).toHaveLength(1);
    for (const row of moved) {
      await expect(planned).toContainText(Number(row.plan_mm) > 0 ? /Add / : /Take /);
      await expect(planned).toContainText(`${size(row.plan_mm)} mm`);
      await expect(planned).toContainText(new RegExp(`(barrel|tappet) ${row.element ?? ''}; leave the others`));
    }
    await expect(planned).toContainText(`closes at ${Number(plan.lift_after_mm).toFixed(2)}`);
    await expect(planned).toContainText(`${size(plan.worst_after_deg)}° cam`);
    await expect(planned).toContainText(
      new RegExp(`Changed after this run: ${plan.done_barrels ?? ''}\\s(barrel|tappet)`),
    );
    await expect(page.locator('.plans').first().locator('.caution')).toContainText('surgical emergency');
  });

  test('lists what stands against the proof, the worst first', async ({ desk: page }) => {
    const [most] = headlessResults('outcomes').toSorted(
      (a, b) => Number(b.breaking) * Number(b.weakening) - Number(a.breaking) * Number(a.weakening),
    );
    const id = most?.job_id ?? '';
    await openJob(page, id);
    const found = headlessResults('findings').filter((row) => row.job_id === id);
    const lines = page.getByRole('list', { name: 'Findings' }).getByRole('listitem');
    await expect(lines).toHaveCount(found.length);
    await expect(lines.first()).toContainText('breaks the proof');
    await expect(lines.filter({ hasText: 'weakens the proof' })).toHaveCount(Number(most?.weakening));
  });

  test('figures can be tried: the verdict follows at once, the log stays, reset puts all back', async ({
    desk: page,
  }) => {
    await openJob(page, job);
    await page.getByRole('button', { name: 'Try figures' }).press('Enter');
    const logged = page.getByRole('region', { name: 'as logged' });
    const tried = page.getByRole('region', { name: 'tried, not logged' });
    const phasing = (side: Locator): Locator => side.locator('dl > div').filter({ hasText: 'Phasing' });
    await expect(phasing(logged)).toContainText('out');
    await expect(phasing(tried)).toContainText('out');

    const field = page.getByLabel(`Closure read, element ${out.element ?? ''}, degrees of camshaft`);
    const before = await field.inputValue();
    await field.fill((Number(before) - Number(out.error_deg)).toFixed(2));
    await expect(phasing(tried)).not.toContainText('out');
    await expect(phasing(logged)).toContainText('out');
    await expect(tried).toContainText('Leave every');
    await expect(page.getByRole('status').filter({ hasText: 'Figures changed: 1.' })).toBeVisible();

    await page.getByRole('button', { name: 'Reset' }).click();
    await expect(field).toHaveValue(before);
    await expect(phasing(tried)).toContainText('out');
    expect(await words(tried.locator('.plan-words').first())).toBe(await words(logged.locator('.plan-words').first()));

    await page.getByRole('button', { name: 'Stop trying figures' }).click();
    await expect(tried).toHaveCount(0);
    await expect(page.locator('.plans li').first()).toBeVisible();
  });

  test('shows needed, planned and made change of an element in one row, with the way the hand goes', async ({
    desk: page,
  }) => {
    await openJob(page, job);
    const rows = await tableOf(page, SHEET_OF_RUN);
    expect(rows).toHaveLength(elements.length);
    for (const row of elements) {
      const cells = rows.find(([element]) => element === row.element) ?? [];
      const told = (mm: string | undefined, decimals: number): RegExp => {
        const change = Number(Number(mm).toFixed(decimals));
        const way = change === 0 ? 'leave' : change > 0 ? 'add' : 'remove';
        return new RegExp(`${Math.abs(change).toFixed(decimals)}\\s?mm, ${way}$`);
      };
      expect(cells.some((cell) => told(row.shim_change_mm, 3).test(cell))).toBe(true);
      expect(cells.some((cell) => told(row.plan_mm, 2).test(cell))).toBe(true);
      if (row.made_mm !== '') expect(cells.some((cell) => told(row.made_mm, 2).test(cell))).toBe(true);
    }
    expect(elements.some((row) => row.made_mm !== '')).toBe(true);
  });

  test('draws wheels, barrels and deliveries, each a picture with a name that states what it shows', async ({
    desk: page,
  }) => {
    await openJob(page, job);
    const closures = headlessResults('phasing').filter((row) => row.job_id === job && row.error_deg !== '');
    const runs = [...new Set(closures.map((row) => Number(row.run)))].toSorted((a, b) => a - b);
    const wheels = runs.filter((run, place) => run <= 1 || place === runs.length - 1);
    const wheel = page.getByRole('img', { name: /\d+\sclosures? read, \d+ elements\.$/ });
    await expect(wheel).toHaveCount(wheels.length);
    for (const name of ['As received, with the changes needed', 'As left, with the changes made']) {
      await expect(page.getByRole('img', { name: new RegExp(`^${name}\\. .*\\sknown\\.$`) })).toBeVisible();
    }
    const points = new Set(headlessResults('points').flatMap((row) => (row.job_id === job ? [row.test_point] : [])));
    await expect(page.getByRole('img', { name: /draws?, \d+ of them do not count\.$/ })).toHaveCount(points.size);
  });

  test('tells the mean at the reference temperature beside the mean as read', async ({ desk: page }) => {
    const told = headlessResults('points').filter((row) => row.mean_at_reference_mm3 !== '');
    const id = told[0]?.job_id ?? '';
    await openJob(page, id);
    // Of each test point the last run is told.
    const last = new Map<string, DSVRowString>();
    for (const row of headlessResults('points').filter((one) => one.job_id === id)) {
      const point = row.test_point ?? '';
      if (Number(row.run) >= Number(last.get(point)?.run ?? -1)) last.set(point, row);
    }
    const expected = [...last.values()].filter((row) => row.mean_at_reference_mm3 !== '');
    expect(expected.length).toBeGreaterThan(0);
    const lines = page.locator('p', { hasText: /^Brought to/ });
    await expect(lines).toHaveCount(expected.length);
    const read = await Promise.all((await lines.all()).map(words));
    for (const row of expected) {
      const [at, asRead] = [row.mean_at_reference_mm3, row.mean_mm3].map((mm3) => Number(mm3).toFixed(2));
      expect(read.some((line) => line.includes(`mean ${at ?? ''}`) && line.includes(`as read ${asRead ?? ''}`))).toBe(
        true,
      );
    }
  });

  test('a lift that is tried out of its band puts timing out, and after stopping all is as recorded', async ({
    desk: page,
  }) => {
    await openJob(page, job);
    const recorded = await recordedOf(page);
    await page.getByRole('button', { name: 'Try figures' }).click();
    const timing = (name: string): Locator =>
      page.getByRole('region', { name }).locator('dl > div').filter({ hasText: 'Timing, lift' }).locator('dd');
    await expect(timing('tried, not logged')).not.toContainText('out');
    const lift = page.getByLabel(/^Lift read, element \d+, millimetres$/);
    const before = await lift.inputValue();
    await lift.fill((Number(before) + 1).toFixed(3));
    await expect(timing('tried, not logged')).toContainText('out');
    await expect(timing('as logged')).not.toContainText('out');
    await expect(page.getByRole('status').filter({ hasText: 'Figures changed: 1.' })).toBeVisible();

    await page.getByRole('button', { name: 'Stop trying figures' }).click();
    await expect(page.getByRole('region', { name: 'tried, not logged' })).toHaveCount(0);
    expect(await recordedOf(page)).toEqual(recorded);
    await page.getByRole('button', { name: 'Try figures' }).click();
    await expect(lift).toHaveValue(before);
    await expect(page.getByRole('status').filter({ hasText: 'All readings as logged.' })).toBeVisible();
  });

  test('a volume left empty counts as not drawn', async ({ desk: page }) => {
    await openJob(page, job);
    await page.getByRole('button', { name: 'Try figures' }).click();
    const tried = page.getByRole('region', { name: 'tried, not logged' });
    const draws = page.getByRole('table', { name: /^Draws at .*, run 1$/ });
    const first = draws.getByRole('row').filter({ has: page.getByLabel(/^Volume, element 1, draw/) });
    await expect(first.first()).toBeVisible();
    await expect(first.first()).not.toContainText('not measured');
    for (const volume of await page.getByLabel(/^Volume, element 1, draw/).all()) await volume.fill('');
    await expect(first.first()).toContainText('not measured');
    await expect(tried).not.toContainText('NaN');
  });

  test('the open panel is accessible and nothing runs over the screen, wide or narrow', async ({ desk: page }) => {
    await page.emulateMedia({ reducedMotion: 'reduce' });
    await openJob(page, job);
    const table = page.getByRole('region', { name: /closures, changes needed and changes made/ }).first();
    const over = await table.evaluate((box) => box.scrollWidth - box.clientWidth);
    expect(over).toBeLessThanOrEqual(0);
    await page.getByRole('button', { name: 'Try figures' }).click();
    await expect(page.getByRole('region', { name: 'tried, not logged' })).toBeVisible();
    const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
    expect(violations.map(({ id, nodes }) => `${id} ${nodes.map((node) => node.html).join(' ')}`)).toEqual([]);
    await page.setViewportSize({ width: 390, height: 844 });
    const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
    expect(content).toBe(screen);
  });
});
