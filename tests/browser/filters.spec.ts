import { expect, test, WAIT } from './desk';
import { openDemo, turnTo } from './log';

test('a filter stands in the address, holds across pages and narrows what is shown', async ({ desk: page }) => {
  const all = await page.locator('p.lead').innerText();
  await page.getByLabel('Pump model').selectOption('Heron');
  await expect(page).toHaveURL(/model=Heron/);
  await expect(page.locator('p.lead')).not.toHaveText(all);
  await expect(page.locator('p.lead')).toContainText('of 1 model');
  for (const name of ['Shims', 'Wear', 'Jobs', 'Log', 'Shop']) {
    await turnTo(page, name);
    await expect(page).toHaveURL(/model=Heron/);
  }
  await expect(page.locator('p.lead')).toContainText('of 1 model');
});

test('a copied address opens the demo log narrowed in the same way', async ({ page }) => {
  await openDemo(page, '/?model=Plover&work=rebuild');
  await expect(page.getByLabel('Pump model')).toHaveValue('Plover');
  await expect(page.getByLabel('Work')).toHaveValue('rebuild');
  await expect(page.locator('p.lead')).toContainText('of 1 model');
});

test('an address with nonsense in it: a day that is none is no filter, a model that is none matches nothing', async ({
  page,
}) => {
  await openDemo(page, '/?from=yesterday');
  await expect(page.getByLabel('Received from')).toHaveValue('');
  await page.goto(`/?model=${encodeURIComponent("Heron' or 1=1 --")}`);
  await expect(page.getByText('No job matches these filters.').first()).toBeVisible(WAIT);
});

test('a long table comes in steps, begins anew with another list, and links with the filters of its rows', async ({
  desk: page,
}) => {
  await turnTo(page, 'Shims');
  const table = page.getByRole('table', { name: /^The newest 200 changes/ });
  const rows = table.locator('tbody tr');
  await expect(rows).toHaveCount(50);
  await expect(page.getByText('50 of 200 shown.')).toBeVisible();
  await page.getByRole('button', { name: 'Show 50 more' }).press('Enter');
  await expect(rows).toHaveCount(100);
  await page.getByRole('button', { name: 'Show 100 more' }).press('Enter');
  await expect(rows).toHaveCount(200);
  await expect(page.getByRole('button', { name: /^Show \d+ more/ })).toHaveCount(0);
  // The button is gone; whoever pressed it is in the table, not at the top of the page.
  await expect(page.locator('.sheet-scroll', { has: table })).toBeFocused();

  await page.getByLabel('Pump model').selectOption('Heron');
  await expect(rows).toHaveCount(50);
  await expect(rows.getByRole('cell', { name: 'Heron', exact: true })).toHaveCount(50);
  await expect(rows.first().getByRole('link').first()).toHaveAttribute('href', /model=Heron/);
});
