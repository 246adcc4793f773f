import AxeBuilder from '@axe-core/playwright';
import { expect, test, type Locator, type Page } from './person';
import type { DSVRowString } from 'd3-dsv';
import { DEMO_LOG, headlessResults, openDemo, turnTo } from './log';

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
function needsShims(results: (table: string) => DSVRowString[]): Picked {
  const of = (table: string): DSVRowString[] => results(table).filter((row) => row.run === RUN);
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
  await openDemo(page);
  await turnTo(page, 'Jobs');
  await page.getByRole('searchbox').fill(job);
  await page.getByRole('link', { name: job, exact: true }).click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText(job);
  await expect(page.locator('[aria-busy=true]')).toHaveCount(0);
}

test.describe('a job that needed shims', () => {
  const results = headlessResults(DEMO_LOG);
  const { job, plan, elements, out } = needsShims(results);

  test('tells its plan in a sentence, as the headless command works it out, with the cautions beside it', async ({
    page,
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

  test('lists what stands against the proof, the worst first', async ({ page }) => {
    const [most] = results('outcomes').toSorted(
      (a, b) => Number(b.breaking) * Number(b.weakening) - Number(a.breaking) * Number(a.weakening),
    );
    const id = most?.job_id ?? '';
    await openJob(page, id);
    const found = results('findings').filter((row) => row.job_id === id);
    const lines = page.getByRole('list', { name: 'Findings' }).getByRole('listitem');
    await expect(lines).toHaveCount(found.length);
    await expect(lines.first()).toContainText('breaks the proof');
    await expect(lines.filter({ hasText: 'weakens the proof' })).toHaveCount(Number(most?.weakening));
  });

  test('figures can be tried: the verdict follows at once, the log stays, reset puts all back', async ({ page }) => {
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

  test('a volume left empty counts as not drawn', async ({ page }) => {
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

  test('the open panel is accessible and nothing runs over the screen, wide or narrow', async ({ page }) => {
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
