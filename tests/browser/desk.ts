import { test as base } from '@playwright/test';
import { openDemo } from './log';
import { expect, patient, WAIT, type Page } from './person';

export { expect, patient, WAIT, type Locator, type Page } from './person';

/** Takes back what was chosen in this browser (units, rates), as if in another tab: the page follows such a change. */
const takeBackChoices = (page: Page): Promise<void> =>
  page.evaluate(() => {
    localStorage.clear();
    dispatchEvent(new StorageEvent('storage', { key: null }));
  });

/** Goes to an address of the program without leaving it, as one of its own links does: the log stays open. */
export async function linkTo(page: Page, address: string): Promise<void> {
  // The router's handle is there for debugging: a person has links, a test would have to seek one for each address.
  await page.evaluate((to) => {
    (window as unknown as { next: { router: { push: (address: string) => void } } }).next.router.push(to);
  }, address);
  await page.waitForURL((url) => url.href === new URL(address, url).href);
}

/**
 * Tests that only look at the demo log share one page on which it is open, as a shop has it open all day: to open it takes longer
 * than most of them take to look. `desk` is that page, at the opening page and as wide as at first; choices that a test makes are taken
 * back after it. A test that loads anything or keeps more than a choice, goes to the site anew, or needs a clock, a network or
 * permissions of its own, takes a `page`.
 */
export const test = base.extend<{ desk: Page }, { opened: Page }>({
  page: async ({ page }, lend) => {
    await lend(patient(page));
  },
  opened: [
    async ({ browser }, lend, { project }) => {
      const { baseURL = '', viewport = null } = project.use;
      const context = await browser.newContext({ baseURL, viewport, locale: 'en-GB', timezoneId: 'UTC' });
      const page = patient(await context.newPage());
      await openDemo(page);
      await lend(page);
      await context.close();
    },
    { scope: 'worker', timeout: 240_000 },
  ],
  desk: async ({ opened: page }, lend, { project }) => {
    if (project.use.viewport) await page.setViewportSize(project.use.viewport);
    await page.emulateMedia({ media: null, colorScheme: null, reducedMotion: null });
    // By way of another page, so that none of the opening page's figures are those of the filters before.
    await linkTo(page, '/log/');
    await linkTo(page, '/');
    await expect(page.getByText('passed first time').first()).toBeVisible(WAIT);
    await lend(page);
    await takeBackChoices(page);
  },
});
