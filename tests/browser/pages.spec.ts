import { expect, test, WAIT } from './desk';
import { expectAccessible } from './accessible';
import { turnTo } from './log';

test('every page carries a policy that lets it reach its own origin alone, and nothing gets past it', async ({
  desk: page,
}) => {
  const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').first().getAttribute('content');
  expect(policy).toContain("default-src 'none'");
  expect(policy).toContain("connect-src 'self'");
  expect(policy).not.toContain("'unsafe-eval'");
  const [reached, evaluated] = await page.evaluate(async () => [
    await fetch('https://example.com/').then(
      () => true,
      () => false,
    ),
    await new Promise((resolve) => {
      const script = document.createElement('script');
      script.textContent = 'window.ran = true';
      document.head.append(script);
      resolve('ran' in window);
    }),
  ]);
  expect([reached, evaluated]).toEqual([false, false]);
});

for (const scheme of ['light', 'dark'] as const) {
  test(`the start page is accessible by the usual rules, ${scheme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
    await page.goto('/');
    await expectAccessible(page);
  });

  test(`every page is accessible by the usual rules, ${scheme}`, async ({ desk: page }) => {
    await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
    await expectAccessible(page);
    for (const name of ['Shims', 'Wear', 'Jobs', 'Log', 'Trends']) {
      await turnTo(page, name);
      await test.step(name, () => expectAccessible(page));
    }
    await turnTo(page, 'Jobs');
    await page
      .getByRole('link', { name: /^J\d+$/ })
      .first()
      .click();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(/^Job J\d/);
    await expectAccessible(page);
  });
}

test('every page fits a telephone without scrolling sideways', async ({ desk: page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  for (const name of ['Shop', 'Shims', 'Wear', 'Jobs', 'Log', 'Trends']) {
    await turnTo(page, name);
    await expect(page.locator('[aria-busy=true]')).toHaveCount(0);
    const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
    expect(`${name} ${content}`).toBe(`${name} ${screen}`);
  }
});

test('the keyboard alone opens the demo log and reaches a job', async ({ page }) => {
  await page.goto('/');
  // Of someone who takes their time: the program has gone the whole way once by then, with a log of its own.
  await page.waitForFunction(() => performance.getEntriesByName('log:ready').length > 0, undefined, WAIT);
  const open = page.getByRole('button', { name: 'Open the demo log' });
  for (let i = 0; i < 20 && !(await open.evaluate((button) => button === document.activeElement)); i += 1) {
    await page.keyboard.press('Tab');
  }
  await page.keyboard.press('Enter');
  await expect(page.getByText('passed first time').first()).toBeVisible(WAIT);
  await page.getByRole('navigation').first().getByRole('link', { name: 'Jobs', exact: true }).focus();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Jobs');
});
