import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from './person';

/** Holds the page as it stands to the usual rules of accessibility, once all its answers are there. */
export async function expectAccessible(page: Page): Promise<void> {
  await expect(page.locator('[aria-busy=true]')).toHaveCount(0);
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
  expect(
    violations.map(
      ({ id, nodes }) =>
        `${id}: ${nodes
          .map(({ html }) => html)
          .join(' ')
          .slice(0, 400)}`,
    ),
  ).toEqual([]);
}

/** Holds the page to the width of its screen. */
export async function expectNoSidewaysScroll(page: Page): Promise<void> {
  const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
  expect(content).toBe(screen);
}
