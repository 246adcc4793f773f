import AxeBuilder from '@axe-core/playwright';
import { expect, linkTo, test, type Locator, type Page } from './desk';
import { expectAccessible } from './accessible';
import { openDemo, turnTo } from './log';

const SEARCHED = { timeout: 120_000 };

/** Turns to the page and waits until the log was searched. */
async function searched(page: Page): Promise<void> {
  await turnTo(page, 'Faults');
  await expect(page.getByRole('heading', { level: 1, name: 'Faults that come back' })).toBeVisible();
  await expect(page.locator('p.lead')).toBeVisible(SEARCHED);
}

/** The findings whose sentence has all these words. */
const findings = (page: Page, ...words: readonly string[]): Locator =>
  words.reduce(
    (found, word) => found.filter({ has: page.getByRole('heading', { name: word }) }),
    page.getByRole('article'),
  );

const main = (page: Page): Locator => page.locator('main');

const numberIn = (text: string): number => Number(text.replace(/[\s\u00a0\u202f]/g, '').match(/\d+/)?.[0]);

test("an owner's path: the first finding, its plot, its jobs, one bench, and back by the link that was copied", async ({
  page,
  context,
}) => {
  await context.grantPermissions(['clipboard-read', 'clipboard-write']);
  await openDemo(page);
  await expect(page.getByText('Dearest fault')).toHaveCount(0);
  await searched(page);

  await expect(page.locator('p.lead')).toContainText(/keeps? coming back/);
  const certain = page.getByRole('region', { name: /^Certain/ });
  const first = certain.getByRole('article').first();
  const sentence = await first.getByRole('heading', { level: 3 }).first().innerText();
  await expect(page.locator('p.lead')).toContainText(sentence);
  await expect(first.getByRole('img')).toBeVisible();
  for (const told of ['Cost', 'Since when', 'How sure', 'What else could explain it'])
    await expect(first.getByText(told, { exact: true })).toBeVisible();
  await expect(first).toContainText(/after \d[\d\s]*comparisons/);

  await first.getByRole('button', { name: 'Copy link' }).click();
  await expect(first.getByText('Link copied')).toBeVisible();
  const link = await page.evaluate(() => navigator.clipboard.readText());
  expect(new URL(link).searchParams.get('fault')).not.toBeNull();

  const behind = first.getByRole('link', { name: /behind it$/ });
  const jobs = numberIn(await behind.innerText());
  await behind.click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Jobs');
  const listed = page.getByText(/jobs?, newest first/);
  await expect(listed).toBeVisible();
  expect(numberIn(await listed.innerText())).toBe(jobs);
  await expect(page.getByRole('link', { name: sentence })).toBeVisible();

  // Each bench's part of them, added up, is all of them: no job is lost or told twice.
  const benches = page.getByLabel('Bench');
  const names = await benches
    .locator('option')
    .evaluateAll((options) =>
      options.map((option) => option.getAttribute('value') ?? '').filter((value) => value !== ''),
    );
  expect(names.length).toBeGreaterThan(1);
  let sum = 0;
  for (const name of names) {
    await benches.selectOption(name);
    await expect(page).toHaveURL(new RegExp(`bench=${name}`));
    const cells = page.getByRole('table').locator(`tbody td:nth-child(6):not(:text-is("${name}"))`);
    await expect(cells).toHaveCount(0);
    const none = page.getByText('No job of them matches these filters.');
    await expect(listed.or(none)).toBeVisible();
    if (await listed.isVisible()) sum += numberIn(await listed.innerText());
  }
  expect(sum).toBe(jobs);

  await page.goto(link);
  const chosen = page.locator('article[data-chosen=true]');
  await expect(chosen.getByRole('heading', { level: 3 }).first()).toHaveText(sentence, SEARCHED);
  await expect(chosen.getByRole('heading', { level: 3 }).first()).toBeInViewport();

  await turnTo(page, 'Shop');
  await expect(page.getByRole('link', { name: sentence })).toBeVisible();
  await expectAccessible(page);
});

test('the jobs behind a finding are the same after a reload', async ({ page }) => {
  await openDemo(page);
  await searched(page);
  await page
    .getByRole('link', { name: /behind it$/ })
    .first()
    .click();
  const listed = page.getByText(/jobs?, newest first/);
  const before = await listed.innerText();
  await page.reload();
  await expect(listed).toHaveText(before, SEARCHED);
  await page.getByRole('button', { name: 'Show all jobs' }).click();
  await expect(page).not.toHaveURL(/fault=/);
  await expect(listed).not.toHaveText(before);
});

test('what was planted in the demo log is found where it was planted', async ({ desk: page }) => {
  await searched(page);
  const certain = page.getByRole('region', { name: /^Certain/ });
  const bench = findings(page, 'bench B2', 'delivery').first();
  await expect(bench).toContainText('higher');
  // The day is the search's estimate: within the quarter before or after 1 June 2021.
  await expect(bench).toContainText(/Since \d+\s(Mar|Apr|May|Jun|Jul|Aug|Sep)\s2021/);
  await expect(findings(page, 'Heron', 'element 3').first()).toContainText('later');
  await expect(findings(page, 'S24C').first()).toContainText('more');
  const old = findings(page, 'Heron', 'Saltmarsh', 'superseded').first();
  await expect(old).toContainText(/Since \d+\s\w+\s2021/);
  await expect(old).toContainText(/ended on \d+\s\w+\s2022/);
  await expect(findings(page, 'DG-3').first()).toBeVisible();
  await expect(findings(page, 'Dunlin', 'Quarry Road').first()).toContainText('low speed');
  expect(await certain.getByRole('article').count()).toBeGreaterThanOrEqual(3);
  // Technicians take part only where someone asks for them.
  await expect(page.getByRole('article').filter({ hasText: /technician T\d/ })).toHaveCount(0);
});

test('a search tells how far it has come, can be called off, and is done when asked for again', async ({ page }) => {
  // What is sent to the engine to be searched waits here until the test lets it go: on the demo log the search is over in a moment.
  await page.addInitScript(() => {
    const held: (() => void)[] = [];
    let holding = true;
    globalThis.Worker = class extends Worker {
      override postMessage(message: unknown, how?: StructuredSerializeOptions | Transferable[]): void {
        const go = (): void => {
          if (Array.isArray(how)) super.postMessage(message, how);
          else super.postMessage(message, how);
        };
        const isSearch =
          typeof message === 'object' && message !== null && 'kind' in message && message.kind === 'search';
        if (holding && isSearch) held.push(go);
        else go();
      }
    };
    addEventListener('let-go', () => {
      holding = false;
      for (const go of held.splice(0)) go();
    });
  });
  await openDemo(page);
  await turnTo(page, 'Faults');
  await expect(main(page).getByRole('status')).toHaveText('Searching the log for faults that come back');
  await expect(main(page).getByRole('progressbar')).toBeVisible();
  await expect(page.locator('p.lead')).toHaveCount(0);
  await page.getByRole('button', { name: 'Cancel' }).click();
  await expect(page.getByText('The search was called off.')).toBeVisible();
  await expect(main(page).getByRole('progressbar')).toHaveCount(0);

  // Called off is called off, even when the engine gets to it later and the page is come back to.
  await page.evaluate(() => dispatchEvent(new Event('let-go')));
  await turnTo(page, 'Shop');
  await turnTo(page, 'Faults');
  await expect(page.getByText('The search was called off.')).toBeVisible();
  await page.getByRole('button', { name: 'Search', exact: true }).click();
  await expect(page.locator('p.lead')).toContainText(/keeps? coming back/, SEARCHED);
});

test('technicians are searched for when asked, and the address says so', async ({ desk: page }) => {
  await searched(page);
  await page.getByRole('checkbox', { name: 'Search by technician too' }).check();
  await expect(page).toHaveURL(/technicians=true/);
  await expect(findings(page, 'technician T5').first()).toBeVisible(SEARCHED);
});

test('where the shop leaves technicians out, searching by them is not offered, nor done by an address that asks for it', async ({
  page,
}) => {
  await openDemo(page);
  await turnTo(page, 'Trends');
  await page.getByRole('checkbox', { name: 'Leave technicians out' }).check();
  await searched(page);
  await expect(page.getByRole('checkbox', { name: 'Search by technician too' })).toHaveCount(0);
  await page.goto('/faults/?technicians=true');
  await expect(page.locator('p.lead')).toBeVisible(SEARCHED);
  await expect(page.getByRole('checkbox', { name: 'Search by technician too' })).toHaveCount(0);
  await expect(page.getByRole('article').filter({ hasText: /technician T\d/ })).toHaveCount(0);
});

test('the page stands with the slips that the records show, and leads to their jobs', async ({ desk: page }) => {
  await searched(page);
  const records = page.getByRole('region', { name: 'What the records show' });
  await records.getByRole('link', { name: 'shim changed the wrong way' }).click();
  await expect(page.getByRole('combobox', { name: 'Finding' })).toHaveValue('shim changed the wrong way');
});

test('a link to a finding that this log does not have says so', async ({ page }) => {
  await openDemo(page);
  await searched(page);
  await page.goto('/faults/?fault=no-such-fault');
  await expect(page.getByText(/leads to is not among those of this log/)).toBeVisible(SEARCHED);
  await linkTo(page, '/jobs/?fault=no-such-fault');
  await page.getByRole('button', { name: 'Show all jobs' }).click(SEARCHED);
  await expect(page.getByText(/jobs?, newest first/)).toBeVisible();
});

for (const scheme of ['light', 'dark'] as const) {
  test(`the page is accessible by the usual rules and fits a telephone, ${scheme}`, async ({ desk: page }) => {
    await page.setViewportSize({ width: 390, height: 844 });
    await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
    await searched(page);
    await expect(page.getByRole('article').first().getByRole('img')).toBeVisible();
    await expect(page.locator('[aria-busy=true]')).toHaveCount(0);
    const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
    expect(
      violations.map(({ id, nodes }) => `${id} ${nodes.map((node) => node.html.slice(0, 200)).join(' ')}`),
    ).toEqual([]);
    const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
    expect(content).toBe(screen);
  });
}
