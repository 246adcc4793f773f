import type { Page } from '@playwright/test';

/** How long the pages take to answer when a filter is changed, as a person changes it. */

export interface Filtered {
  readonly page: string;
  readonly change: string;
  /** From the change to the last answer drawn [ms]. */
  readonly ms: number;
  /** The question that took longest, and how long [ms]. */
  readonly slowest: string;
}

/** The opening page last: it is the one that is open, and would have nothing to ask. */
const pages = ['Jobs', 'Shims', 'Wear', 'Returns', 'Benches', 'Trends', 'Audit', 'Shop'] as const;

/** Has the page note when it was last drawn: the first moment after a frame that showed what was changed in it. */
const noteDrawing = (page: Page): Promise<void> =>
  page.evaluate(() => {
    new MutationObserver(() => {
      requestAnimationFrame(() => setTimeout(() => performance.mark('drawn'), 0));
    }).observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true });
  });

/** Waits in the page until every question asked since `from` is answered and drawn; the time of that, and the slowest question. */
function settled(page: Page, from: number): Promise<{ readonly at: number; readonly slowest: string }> {
  return page
    .waitForFunction(
      (since) => {
        const asked = performance.getEntriesByName('ask').filter((entry) => entry.startTime >= since);
        const answered = performance
          .getEntriesByType('measure')
          .filter((entry) => entry.name.startsWith('asked:') && entry.startTime >= since);
        if (asked.length === 0 || answered.length < asked.length) return false;
        const drawn = performance.getEntriesByName('drawn').at(-1)?.startTime ?? 0;
        const ended = Math.max(drawn, ...answered.map((entry) => entry.startTime + entry.duration));
        // Another look, some frames on, finds what an answer has given rise to.
        if (performance.now() - ended < 150) return false;
        const [slowest] = answered.toSorted((a, b) => b.duration - a.duration);
        return {
          at: ended,
          slowest: slowest === undefined ? '' : `${slowest.name.slice(6)} ${Math.round(slowest.duration)}`,
        };
      },
      from,
      { timeout: 120_000 },
    )
    .then((found) => found.jsonValue())
    .then((found) => {
      if (found === false) throw new Error('The page went away while it was asked.');
      return found;
    });
}

/** Less than it takes a person to choose once a page is drawn [ms]. */
const BEFORE_CHOOSING_MS = 500;

/** Goes to each page of an open log and changes its filters; the log stays open, since pages are gone to by their links. */
export async function filtering(page: Page): Promise<readonly Filtered[]> {
  await noteDrawing(page);
  const done: Filtered[] = [];
  for (const name of pages) {
    const changes: readonly (readonly [string, () => Promise<unknown>])[] = [
      ['opened', () => page.getByRole('navigation').getByRole('link', { name, exact: true }).first().click()],
      ['model', () => page.locator('form.filters select').nth(0).selectOption({ index: 1 })],
      ['bench', () => page.locator('form.filters select').nth(2).selectOption({ index: 1 })],
      ['from', () => page.locator('form.filters input[type=date]').first().fill('2021-06-01')],
      ['all', () => page.getByRole('button', { name: 'All jobs' }).click()],
    ];
    for (const [change, make] of changes) {
      await page.waitForTimeout(BEFORE_CHOOSING_MS);
      const from = await page.evaluate(() => performance.now());
      await make();
      const { at, slowest } = await settled(page, from);
      done.push({ page: name, change, ms: at - from, slowest });
    }
  }
  return done;
}
