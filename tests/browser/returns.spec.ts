import { expect, test } from './desk';
import { expectAccessible, expectNoSidewaysScroll } from './accessible';
import { tableOf, turnTo } from './log';

test('returns: how soon pumps come back, how many too soon, and what was found then', async ({ desk: page }) => {
  await turnTo(page, 'Returns');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Returns');
  const lead = page.locator('p.lead');
  await expect(lead).toContainText(/Half of the pumps are back within \d+\smonths of leaving, \d+ to \d+/);
  await expect(lead).toContainText(/Within 6\smonths \d+\s% came back, \d+ to \d+\s%/);
  await expect(page.getByRole('img', { name: /between models in how soon pumps come back/ })).toBeVisible();
  await expect(page.getByText(/Log-rank test, 3\sgroups, .*\sjobs: p/)).toBeVisible();
  await expectAccessible(page);

  // A person who thinks a month is what matters says so; the address keeps it.
  await page.getByLabel('An early return is one within').selectOption('2');
  await expect(page).toHaveURL(/months=2/);
  await expect(lead).toContainText(/Within 2\smonths/);
  const caption = /early\sreturns, the soonest first/;
  await expect(page.getByRole('heading', { name: /Back within 2\smonths/ })).toBeVisible();
  await expect(page.getByRole('table', { name: /^\d\d?\searly\sreturns/ })).toBeVisible();
  const rows = await tableOf(page, caption);
  for (const row of rows) expect(Number(row[6])).toBeLessThanOrEqual(2.1);
  const [, , first = ''] = rows[0] ?? [];
  await page.getByRole('table', { name: caption }).getByRole('link', { name: first, exact: true }).first().click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText(first);
});

test('returns follow the filters and fit a telephone', async ({ desk: page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await turnTo(page, 'Returns');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Returns');
  await page.getByLabel('Pump model').selectOption('Heron');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Returns, Heron');
  await expect(page.getByRole('img', { name: /^Heron: half are back within/ })).toBeVisible();
  await expectNoSidewaysScroll(page);
  await page.getByLabel('Received from').fill('2025-12-20');
  await expect(page.locator('p.lead')).toContainText('too few to say');
  await expect(page.getByText(/^Not enough data:/).first()).toBeVisible();
});

test('the cost of rework is a range of hours, and of money at the rate that is typed', async ({ desk: page }) => {
  await turnTo(page, 'Shims');
  const cost = page.locator('section', { has: page.getByRole('heading', { name: 'What rework cost' }) });
  await expect(cost.getByText(/Together .* to .* hours/)).toBeVisible();
  await expect(cost.getByText(/at your rate\./)).toHaveCount(0);
  await cost.getByLabel('An hour costs').fill('85');
  await cost.getByLabel('Currency code').fill('eur');
  await expect(cost.getByText(/EUR\s[\d,]+ to EUR\s[\d,]+ at your rate/)).toBeVisible();
  await expect(cost.getByText(/Parts of those second visits: EUR/)).toBeVisible();
  await expectAccessible(page);
  expect(await page.evaluate(() => localStorage.getItem('shimbook.hourRate'))).toBe('{"perHour":85,"currency":"EUR"}');
  // Another page and back: the rate is still there.
  await turnTo(page, 'Shop');
  await turnTo(page, 'Shims');
  await expect(cost.getByLabel('An hour costs')).toHaveValue('85');
});
