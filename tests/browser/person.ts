import type { Page } from '@playwright/test';

export { expect, type Locator, type Page } from '@playwright/test';

/** The longest that a log may take to be read and worked out, or a page to ask it anew: two slow cores, beside another test. */
export const WAIT = { timeout: 60_000 } as const;

/** Waits until the page's script has taken hold of all of it: what is pressed or chosen before that is lost, and no person is so quick. */
async function awake(page: Page): Promise<void> {
  await page.waitForFunction(() => {
    const controls = [...document.querySelectorAll('a, button, input, select, summary, textarea')];
    return (
      controls.length > 0 && controls.every((element) => Object.keys(element).some((key) => key.startsWith('__react')))
    );
  });
}

/** A page of the site that looks before it acts: going to an address and reloading end when the page answers. */
export function patient(page: Page): Page {
  const goto = page.goto.bind(page);
  const reload = page.reload.bind(page);
  page.goto = async (...asked) => {
    const response = await goto(...asked);
    await awake(page);
    return response;
  };
  page.reload = async (...asked) => {
    const response = await reload(...asked);
    await awake(page);
    return response;
  };
  return page;
}
