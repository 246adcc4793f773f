import { readFileSync } from 'node:fs';
import AxeBuilder from '@axe-core/playwright';
import { expect, test, WAIT, type Page } from './desk';
import { smallLog } from '../store/smallLog';
import { drop, tableOf, turnTo, type DroppedFile } from './log';

const sheetOf = (name: string): string => readFileSync(`tests/log/mapping/sheets/${name}`, 'utf8');
const specs: DroppedFile[] = ['specs.csv', 'test_points.csv'].map((name) => ({ name, content: smallLog[name] ?? '' }));

async function dropOnLog(page: Page, files: readonly DroppedFile[]): Promise<void> {
  await page.goto('/log/');
  await drop(page, files);
  await expect(page.getByRole('heading', { name: 'Last load' })).toBeVisible(WAIT);
}

const lastLoad = async (page: Page): Promise<Record<string, [accepted: number, aside: number]>> => {
  const rows = await tableOf(page, 'Files of the last load');
  const sums: Record<string, [number, number]> = {};
  for (const [, table = '', , accepted, aside] of rows) {
    const [a, b] = sums[table] ?? [0, 0];
    sums[table] = [a + Number(accepted), b + Number(aside)];
  }
  return sums;
};

async function clean(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id} ${nodes[0]?.html ?? ''}`)).toEqual([]);
}

test('one flat sheet gives jobs, closures and draws, below a title, in the words of the shop', async ({ page }) => {
  const flat = `Bench record,,,\n\n${sheetOf('flat.csv').replaceAll('rebuild', 'Overhaul').replaceAll('recalibrate', 'Special')}`;
  await dropOnLog(page, [...specs, { name: 'flat.csv', content: flat }]);
  await page.getByRole('button', { name: 'Map its columns: flat.csv' }).click();
  await expect(page.getByLabel('The names of the columns stand in row')).toHaveValue('3');
  await expect(page.getByText('Above it, and not read: Bench record')).toBeVisible();

  // A word that is known is proposed; one that is not sets its rows aside until a person says what it stands for.
  await expect(page.getByLabel('Overhaul in Work type stands for')).toHaveValue('rebuild');
  expect(await tableOf(page, /^Would be set aside/)).toEqual([
    ['jobs', '1', '4', 'work_type', 'Special', expect.stringContaining('must be one of')],
  ]);
  await page.getByLabel('Special in Work type stands for').selectOption('recalibrate');
  await expect(page.getByText('22 would be accepted, 0 set aside for their cells')).toBeVisible();

  // What the sheet does not say may be stated for all rows.
  await page.getByLabel('Bring in another column of the log').selectOption('jobs.bench_id');
  await page.getByLabel('jobs.bench_id in every row').fill('B2');
  expect((await tableOf(page, /^jobs: the first/))[0]).toContain('B2');
  await page.getByRole('checkbox', { name: /I have looked at what is unsure/ }).check();
  await page.getByRole('button', { name: 'Read it with this mapping' }).click();
  await expect(page.getByText('Read by the mapping "flat".').first()).toBeVisible(WAIT);
  expect(await lastLoad(page)).toEqual({ jobs: [2, 0], closures: [8, 0], draws: [12, 0] });
  await expect(page.getByText('1 file read, 0 refused.')).toBeVisible();
  await turnTo(page, 'Jobs');
  await expect(page.getByRole('link', { name: 'F-2', exact: true })).toBeVisible();
});

test('columns that are only numbered, strokes that no column gives, and a stated delivery over strokes', async ({
  page,
}) => {
  const six = sheetOf('six.csv')
    .replace('Cyl 6', 'Cyl 6,Card cc')
    .replace('41.05', '41.05,41.0')
    .replace('8.00', '8.00,8.1');
  await dropOnLog(page, [...specs, { name: 'six.csv', content: six }]);
  await page.getByRole('button', { name: 'Map its columns: six.csv' }).click();
  const open = page.getByRole('group', { name: 'Still to be decided' });
  await expect(open).toContainText('draws.strokes is needed');
  await page.getByLabel('draws.strokes in every row').fill('500');
  await expect(open).toHaveCount(0);
  await page.getByLabel('Card cc stands for').selectOption('draws.stated_mm3_per_stroke');
  await page.getByLabel('Unit of Card cc').selectOption('cc');
  await page.getByLabel('Strokes of Card cc').fill('500');
  // 41.0 cc over 500 strokes are 82 mm3 for one.
  expect((await tableOf(page, /^draws: the first/))[0]).toEqual(expect.arrayContaining(['41.25', '500', '82']));
  // A needed column may be had from a column of the sheet as well.
  await page.getByLabel('draws.strokes comes from').selectOption('RPM');
  expect((await tableOf(page, /^draws: the first/))[0]).toContain('900');
});

test('a sheet longer than what is looked at is counted to its end, with what speaks against the choices', async ({
  page,
}) => {
  const rows = Array.from({ length: 4000 }, (_, i) => `J-1;${(i % 4) + 1};full;500;40,${i % 10};12`);
  const content = ['Job;Cyl;Test point;Strokes;Volume (ml);Rack (mm)', ...rows, 'J-1;1;full;500;lost;12', ''].join(
    '\n',
  );
  await dropOnLog(page, [{ name: 'long.csv', content }]);
  await page.getByRole('button', { name: 'Map its columns: long.csv' }).click();
  await expect(page.getByText(/4.000 would be accepted, 1 set aside for their cells/)).toBeVisible();
  await expect(page.getByText(/The whole sheet was gone through, 4.001/)).toBeVisible();
  expect(await tableOf(page, /^Would be set aside/)).toEqual([
    ['draws', '1', '4002', 'volume_cm3', 'lost', expect.stringContaining('not a number')],
  ]);
  await page.getByLabel('Decimal sign').selectOption('point');
  await expect(page.getByText('The cells speak against what is chosen above.')).toBeVisible();
});

test('by keyboard alone, on a narrow screen', async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await dropOnLog(page, [...specs, { name: 'flat.csv', content: sheetOf('flat.csv').replace('2024-05-13', '') }]);
  const reach = async (name: string | RegExp, role: 'button' | 'checkbox' | 'combobox' | 'spinbutton') => {
    const wanted = page.getByRole(role, { name }).first();
    for (let step = 0; step < 150; step += 1) {
      if (await wanted.evaluate((element) => element === document.activeElement)) return;
      await page.keyboard.press('Tab');
    }
    throw new Error(`${String(name)} is not reached with the tab key`);
  };
  await reach('Map its columns: flat.csv', 'button');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { name: 'Map the columns of flat.csv' })).toBeVisible();
  await reach('The names of the columns stand in row', 'spinbutton');
  await reach('Bring in another column of the log', 'combobox');
  await reach(/I have looked at what is unsure/, 'checkbox');
  // The page itself does not scroll sideways: what is wide scrolls in its own box.
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
  await clean(page);
  await page.keyboard.press('Space');
  await reach('Read it with this mapping', 'button');
  await page.keyboard.press('Enter');
  await expect(page.getByText('Read by the mapping "flat".').first()).toBeVisible(WAIT);
});
