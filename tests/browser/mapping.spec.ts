import { readFileSync, writeFileSync } from 'node:fs';
import AxeBuilder from '@axe-core/playwright';
import { expect, test, WAIT, type Page } from './desk';
import { smallLog } from '../store/smallLog';
import { cards, drop, tableOf, turnTo, type DroppedFile } from './log';

const withoutDraws: DroppedFile[] = Object.entries(smallLog)
  .filter(([name]) => name !== 'draws.csv')
  .map(([name, content]) => ({ name, content }));

/** A bench sheet of another hand: semicolons, decimal commas, a column an element, days that tell no order. */
const sheet = `Job;Test point;RPM;Rack (in);Time;Vol 1 (cc/500);Vol 2 (cc/500);Vol 3 (cc/500);Vol 4 (cc/500);Weather
J-1;full;1000;0,472;03/04/2024 10:15;40,0;40,5;39,5;40,25;dry
J-1;low;200;0,472;03/04/2024 10:30;36,0;35,0;34,0;slip;wet
`;
const bench: DroppedFile = { name: 'bench.csv', content: sheet };

async function dropOnLog(page: Page, files: readonly DroppedFile[]): Promise<void> {
  await drop(page, files);
  await expect(page.getByRole('heading', { name: 'Last load' })).toBeVisible(WAIT);
}

const lastLoad = (page: Page) => page.getByRole('table', { name: 'Files of the last load' }).getByRole('row');

test('a sheet that the log does not know is mapped once, after what is open is decided, and read alone from then on', async ({
  page,
}) => {
  await page.goto('/log/');
  await dropOnLog(page, [...withoutDraws, bench]);
  await page.getByRole('button', { name: 'Map its columns: bench.csv' }).click();

  const first = await tableOf(page, /^The first rows of the sheet/);
  expect(first[0]?.slice(0, 4)).toEqual(['2', 'J-1', 'full', '1000']);
  await expect(page.getByLabel('Columns parted by')).toHaveValue(';');
  await expect(page.getByLabel('Decimal sign')).toHaveValue('comma');
  await expect(page.getByLabel('Unit of Rack (in)')).toHaveValue('inch');

  // The order of 03/04 is not guessed: nothing can be read before a person says it.
  const read = page.getByRole('button', { name: 'Read it with this mapping' });
  await expect(page.getByRole('group', { name: 'Still to be decided' })).toContainText('03/04/2024');
  await expect(read).toHaveCount(0);
  await page.getByLabel('Order of dates').selectOption('dmy');

  const preview = await tableOf(page, /^draws: the first/);
  const whole = preview.find((cells) => cells.includes('40.25'));
  // Row 2 of the sheet, element 4; 0.472 in are 11.9888 mm.
  expect(whole?.[0]).toBe('2');
  expect(whole).toEqual(expect.arrayContaining(['J-1', 'full', '4', '40.25', '500', '11.9888', '2024-04-03 10:15']));
  const aside = await tableOf(page, /^Would be set aside/);
  expect(aside).toEqual([['draws', '1', '3', 'volume_cm3', 'slip', expect.stringContaining('not a number')]]);
  await expect(page.getByText('7 would be accepted, 1 set aside for their cells')).toBeVisible();

  await expect(read).toBeDisabled();
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id} ${nodes[0]?.html ?? ''}`)).toEqual([]);

  const saved = page.waitForEvent('download');
  await page.getByRole('checkbox', { name: /I have looked at what is unsure/ }).check();
  await page.getByRole('button', { name: 'Save mapping', exact: true }).click();
  const kept = JSON.parse(readFileSync(await (await saved).path(), 'utf8')) as Record<string, unknown>;
  expect(kept).toMatchObject({ shimbook_mapping: 1, delimiter: ';', decimal: 'comma', dates: 'dmy' });

  await read.click();
  await expect(lastLoad(page).filter({ hasText: 'Read by the mapping "bench"' })).toContainText('draws', WAIT);
  // Two readings of three elements, one of the fourth.
  await expect(page.getByRole('heading', { name: 'Map the columns of bench.csv' })).toHaveCount(0);
  await expect(page.getByRole('row').filter({ hasText: 'slip' }).filter({ hasText: 'volume_cm3' })).toBeVisible();
  const counts = (await tableOf(page, 'Files of the last load')).filter((cells) => cells[0] === 'bench.csv');
  expect(counts.reduce((sum, cells) => sum + Number(cells[3]), 0)).toBe(7);
  expect(counts.reduce((sum, cells) => sum + Number(cells[4]), 0)).toBe(1);

  // Another visit, another job in a file of the same headers: read without a question, and told.
  await page.goto('/log/');
  await dropOnLog(page, [...withoutDraws, { name: 'second.csv', content: sheet.replaceAll('J-1', 'J-2') }]);
  await expect(lastLoad(page).filter({ hasText: 'second.csv' }).first()).toContainText('Read by the mapping "bench"');
  await expect(page.getByRole('button', { name: /Map its columns/ })).toHaveCount(0);
});

test('a column is left out, another is chosen, and what is needed and lacks is said', async ({ page }) => {
  await page.goto('/log/');
  await dropOnLog(page, [bench]);
  await page.getByRole('button', { name: 'Map its columns: bench.csv' }).click();
  await page.getByLabel('Order of dates').selectOption('dmy');
  await page.getByLabel('Test point stands for').selectOption('leave out');
  const open = page.getByRole('group', { name: 'Still to be decided' });
  await expect(open).toContainText('draws.test_point is needed');
  await page.getByLabel('Weather stands for').selectOption('draws.test_point');
  await expect(open).toHaveCount(0);
  const preview = await tableOf(page, /^draws: the first/);
  expect(preview[0]).toContain('dry');
});

test('a sheet above the limit is mapped and its mapping saved, and reading it is left to the command', async ({
  page,
}) => {
  const path = test.info().outputPath('years.csv');
  const [header = '', row = ''] = sheet.split('\n');
  writeFileSync(path, `${header}\n${`${row}\n`.repeat(Math.ceil(100_000_001 / row.length))}`);
  await page.goto('/log/');
  await page.getByLabel('Choose files').setInputFiles(path);
  await page.getByRole('button', { name: 'Map its columns: years.csv' }).click(WAIT);
  await page.getByLabel('Order of dates').selectOption('dmy');
  await expect(page.getByText('npm run recalc -- --mapping')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Save mapping', exact: true })).toBeVisible();
  await expect(page.getByRole('button', { name: 'Read it with this mapping' })).toHaveCount(0);
});

test('a mapping taken from a file reads the sheet that waits for it, and one that is none is refused with its reason', async ({
  page,
}) => {
  await page.goto('/log/');
  await dropOnLog(page, [...withoutDraws, cards.sheet]);
  const take = page.getByLabel('Take a mapping from a file');
  await take.setInputFiles({ name: 'broken.json', mimeType: 'application/json', buffer: Buffer.from('{"a":1}') });
  await expect(page.getByText("The mapping can't be used.")).toBeVisible();
  await take.setInputFiles(cards.mapping);
  await expect(lastLoad(page).filter({ hasText: 'cards.txt' })).toContainText(
    'Read by the mapping "jobs of old"',
    WAIT,
  );
  await page.getByRole('button', { name: 'Forget jobs of old' }).click();
  await expect(page.getByRole('table', { name: 'Mappings kept in this browser' })).toHaveCount(0);
  await turnTo(page, 'Jobs');
  await expect(page.getByRole('link', { name: 'J-7', exact: true })).toBeVisible();
});
