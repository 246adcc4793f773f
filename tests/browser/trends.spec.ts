import AxeBuilder from '@axe-core/playwright';
import { expect, linkTo, test, WAIT, type Page } from './desk';
import { unzipSync } from 'fflate';
import { readFileSync } from 'node:fs';
import { turnTo } from './log';

const main = (page: Page) => page.locator('main');
const chart = (page: Page, name: RegExp) => main(page).getByRole('region', { name });
const pick = (page: Page, label: string, value: string) =>
  main(page).getByLabel(label, { exact: false }).first().selectOption(value);

async function turnToTrends(page: Page, address = '/trends/'): Promise<void> {
  await linkTo(page, address);
  await expect(chart(page, /^Heron: /)).toBeVisible(WAIT);
}

/** On a page of the test's own. */
async function openTrends(page: Page): Promise<void> {
  await page.goto('/trends/');
  await page.getByRole('button', { name: 'Open the demo log' }).click();
  await expect(chart(page, /^Heron: /)).toBeVisible(WAIT);
}

async function addNote(page: Page, on: string, text: string): Promise<void> {
  await page.getByLabel('Day it happened').fill(on);
  await page.getByRole('textbox', { name: 'What happened' }).fill(text);
  await page.getByRole('button', { name: 'Add the note' }).click();
}

async function accessible(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id} ${nodes[0]?.html ?? ''}`.slice(0, 300))).toEqual([]);
}

test('a series is chosen and told apart, a change is told, and the address holds the choice', async ({ page }) => {
  await openTrends(page);
  await expect(chart(page, /^Heron: /)).toContainText(
    /Since 20\d\d Q\d: \d+\s%\sto \d+\s%, p\s0\.0\d\d, searched over 32\squarters/,
  );
  await accessible(page);
  await pick(page, 'Series', 'hours');
  await expect(chart(page, /^Kestrel: .* h to .* h since/)).toBeVisible();
  await pick(page, 'A chart for each', 'bench');
  await pick(page, 'A point for each', 'month');
  await expect(chart(page, /^B2: /)).toBeVisible();
  await expect(page).toHaveURL(/series=hours/);
  await expect(page).toHaveURL(/split=bench/);
  await expect(page).toHaveURL(/period=month/);
  await page.reload();
  await expect(chart(page, /^B2: /)).toBeVisible(WAIT);
  await accessible(page);
});

test('a point leads to its jobs, by click and by keyboard, and the table has the same ways', async ({ desk: page }) => {
  await turnToTrends(page, '/trends/?model=Heron');
  await pick(page, 'A chart for each', 'branch');
  const saltmarsh = chart(page, /^Saltmarsh: /);
  const points = saltmarsh.locator('svg a');
  await expect(points.first()).toHaveAccessibleName(/Saltmarsh, 20\d\d Q\d: \d+\s%, n \d+/);
  const n = Number(/n (\d+)/.exec((await points.nth(3).getAttribute('aria-label')) ?? '')?.[1]);
  await points.nth(3).click();
  await expect(page).toHaveURL(/\/jobs\/\?from=20\d\d-\d\d-01&to=20\d\d-\d\d-3[01]&model=Heron&branch=Saltmarsh/);
  await expect(main(page).getByText('Branch: Saltmarsh')).toBeVisible();
  const listed = await main(page)
    .getByText(/^\d+\sjobs?, newest first/)
    .innerText();
  // Jobs that could not be counted are listed too.
  expect(Number.parseInt(listed, 10)).toBeGreaterThanOrEqual(n);

  await page.goBack();
  // The charts are drawn once more when what happened is known.
  await expect(saltmarsh.locator('svg text', { hasText: /^shims / }).first()).toBeVisible();
  await points.first().focus();
  await expect(points.first()).toBeFocused();
  await points.first().press('ArrowRight');
  await expect(points.nth(1)).toBeFocused();
  const second = /(20\d\d) Q(\d)/.exec((await points.nth(1).getAttribute('aria-label')) ?? '');
  await page.keyboard.press('Enter');
  await expect(page).toHaveURL(new RegExp(`/jobs/\\?from=${second?.[1] ?? ''}-`));
  await page.goBack();
  await saltmarsh.getByRole('button', { name: 'as table' }).click();
  await saltmarsh.getByRole('table').getByRole('link').first().click();
  await expect(page).toHaveURL(/\/jobs\/\?from=.*branch=Saltmarsh/);
});

test('a series is told apart by season and by element, and its points lead to the jobs behind them', async ({
  desk: page,
}) => {
  await turnToTrends(page);
  await pick(page, 'A chart for each', 'season');
  const winter = chart(page, /^Winter: /);
  await expect(winter).toBeVisible();
  await expect(chart(page, /^(Winter|Spring|Summer|Autumn): /)).toHaveCount(4);
  await winter.getByRole('button', { name: 'as table' }).click();
  await winter.getByRole('table').getByRole('link').first().click();
  // A quarter has two months of winter, or its last one.
  await expect(page).toHaveURL(/\/jobs\/\?from=20\d\d-(01-01&to=20\d\d-02-2[89]|12-01&to=20\d\d-12-31)/);

  await page.goBack();
  await pick(page, 'Series', 'phasing');
  await pick(page, 'A chart for each', 'element');
  const third = chart(page, /^Heron, element 3: /);
  await expect(third).toBeVisible();
  await expect(third).toContainText(/\d\sjobs in \d+\squarters/);
  await third.getByRole('button', { name: 'as table' }).click();
  await third.getByRole('table').getByRole('link').first().click();
  await expect(page).toHaveURL(/\/jobs\/\?from=20\d\d-.*model=Heron/);

  // Hours are not told of elements: the models stand in their place.
  await page.goBack();
  await pick(page, 'Series', 'hours');
  await expect(main(page).getByLabel('A chart for each').locator('option', { hasText: 'Element' })).toHaveCount(0);
  await expect(chart(page, /^Kestrel: /)).toBeVisible();
});

test('a series is told apart by shim batch and gauge, and the list of jobs says which one it is of', async ({
  desk: page,
}) => {
  await turnToTrends(page);
  await pick(page, 'A chart for each', 'gauge');
  const first = main(page)
    .getByRole('region', { name: /: .*(since|throughout|no lasting change)/ })
    .first();
  const name = /^[^:]+/.exec((await first.getByRole('heading').first().innerText()).trim())?.[0] ?? '';
  expect(name).toMatch(/^[A-Z]+-\d+$/);
  await first.getByRole('button', { name: 'as table' }).click();
  await first.getByRole('table').getByRole('link').first().click();
  await expect(page).toHaveURL(new RegExp(`gauge=${name}`));
  await expect(main(page).getByText(`Gauge: ${name}`)).toBeVisible();
  await main(page).getByRole('button', { name: 'Show all' }).click();
  await expect(page).not.toHaveURL(/gauge=/);

  await page.goBack();
  await pick(page, 'A chart for each', 'batch');
  // A batch is used up within some quarters: each is told as a whole, and what is too short for a chart with its jobs.
  const batches = chart(page, /^First pass by shim batch: from /);
  await batches.getByRole('button', { name: 'as table' }).click();
  expect(await batches.getByRole('table').locator('tbody tr').count()).toBeGreaterThan(3);
  await expect(batches.getByRole('table').locator('tbody tr').first()).toContainText(/\d\s% to \d+\s%/);
  await expect(main(page).getByText(/Not enough data for a chart/)).toContainText(/: \d+\squarters?, \d+\sjobs?/);
});

test('a note is marked on the charts, is there at the next visit and in the archive, and can be removed', async ({
  page,
}) => {
  await openTrends(page);
  await addNote(page, '2022-05-06', 'New <b>fluid</b>');
  const notes = page.getByRole('list', { name: 'Notes' });
  await expect(notes).toContainText('6 May 2022, all models: New <b>fluid</b>');
  await expect(chart(page, /^Heron: /).locator('svg text', { hasText: 'New <b>fluid</b>' })).toHaveCount(1);
  await page.reload();
  await expect(notes).toContainText('New <b>fluid</b>', WAIT);

  await turnTo(page, 'Log');
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Take everything out' }).click();
  const path = await (await saved).path();
  const manifest = new TextDecoder().decode(unzipSync(readFileSync(path))['manifest.json']);
  expect(manifest).toContain('New <b>fluid</b>');

  await turnTo(page, 'Trends');
  await page.getByRole('button', { name: 'Remove the note New <b>fluid</b>' }).click();
  await expect(notes).toHaveCount(0);
  await page.reload();
  await expect(chart(page, /^Heron: /)).toBeVisible(WAIT);
  await expect(notes).toHaveCount(0);

  await turnTo(page, 'Log');
  await page.getByLabel('Restore from an archive').setInputFiles(path);
  await page.getByRole('button', { name: 'Put the archive in its place' }).click();
  await turnTo(page, 'Trends');
  await expect(notes).toContainText('New <b>fluid</b>', WAIT);
});

test('where the browser keeps nothing, a note lives in the tab and this is said', async ({ page }) => {
  await page.addInitScript(() => {
    Object.defineProperty(navigator, 'storage', { value: undefined });
  });
  await openTrends(page);
  await expect(main(page).getByText('notes are gone when this tab is closed')).toBeVisible();
  await addNote(page, '2022-05-06', 'New fluid');
  await turnTo(page, 'Shop');
  await turnTo(page, 'Trends');
  await expect(page.getByRole('list', { name: 'Notes' })).toContainText('New fluid');
});

test('technicians show only when asked for, and one switch takes them off every page', async ({ desk: page }) => {
  await turnToTrends(page);
  const split = main(page).getByLabel('A chart for each');
  await expect(split.locator('option', { hasText: 'Technician' })).toHaveCount(0);
  await expect(main(page).getByText(/\bT\d\b/)).toHaveCount(0);
  await page.getByRole('button', { name: 'Show technicians' }).click();
  await expect(chart(page, /differs? from the shop by more than chance would make/)).toBeVisible();
  await split.selectOption('technician');
  await expect(chart(page, /^T5: /)).toBeVisible();
  await expect(page).not.toHaveURL(/technician/);
  await accessible(page);

  await turnTo(page, 'Jobs');
  await expect(page.getByRole('columnheader', { name: 'Technician' })).toBeVisible();
  await page.getByRole('button', { name: 'Units' }).click();
  await page.getByRole('checkbox', { name: 'Leave technicians out' }).check();
  await page.keyboard.press('Escape');
  await expect(page.getByRole('columnheader', { name: 'Technician' })).toHaveCount(0);
  await expect(page.getByLabel('Find by job or serial number')).toBeVisible();
  await page.getByLabel('Find by job').fill('T5');
  await expect(page.getByText('No job matches.')).toBeVisible();
  await page.getByLabel('Find by job').fill('');
  await page
    .getByRole('link', { name: /^J\d+$/ })
    .first()
    .click();
  await expect(page.getByRole('heading', { name: 'Job card' })).toBeVisible();
  await expect(main(page).getByText('Technician', { exact: true })).toHaveCount(0);
  await turnTo(page, 'Trends');
  await expect(chart(page, /^Heron: /)).toBeVisible();
  await expect(page.getByRole('button', { name: 'Show technicians' })).toHaveCount(0);
});

test('the room left in the tolerance is told by the scatter and as counted, and follows the filters', async ({
  desk: page,
}) => {
  await turnToTrends(page);
  const room = chart(page, /^Least room is left in the mean delivery on Dunlin$/);
  await expect(room.getByRole('img', { name: /^Least room is left/ })).toBeVisible(WAIT);
  await expect(main(page).locator('p', { hasText: /^Least room: mean delivery on Dunlin\./ })).toContainText(
    /at least 95 of 100 such pumps leave between −2\.50 and \+0\.70, .*; left outside: 23 of 402, 4 to 8\s%\. Cpk 0\.47, 0\.42 to 0\.51\./,
  );
  await accessible(page);
  await room.getByRole('button', { name: 'as table' }).click();
  await expect(room.locator('tbody tr')).toHaveCount(24);
  const low = room.getByRole('row', { name: /^Mean delivery Dunlin 402 / });
  await expect(low).toContainText('−1.41 to +1.08');
  await expect(low).toContainText('−2.50 to +0.70');
  // Set until it is in: by the scatter past its limit, as counted within, and none left outside.
  const lift = room.getByRole('row', { name: /^Lift to port closure Heron / });
  await expect(lift).toContainText('−1.16 to +0.83');
  await expect(lift).toContainText('−1.00 to +0.87');
  await expect(lift).toContainText(/0 of 520, 0 to 1\s%/);
  // With an upper limit alone there is one end, and no Cp; the sheet of the Dunlins states no tolerance.
  await expect(room.getByRole('row', { name: /^Largest phase error Dunlin / })).toContainText('up to 1.20');
  await expect(room).toContainText(/Assumed: ±0\.50°\scam in 400\sjobs/);
  await accessible(page);

  await page.getByLabel('Received from').fill('2025-12-20');
  await expect(main(page).getByText(/^Not enough data: 25 jobs of a model/)).toBeVisible();
  await expect(chart(page, /^Least room is left/)).toHaveCount(0);
});
