import AxeBuilder from '@axe-core/playwright';
import { expect, test, WAIT, type Page } from './desk';
import {
  bookBytes,
  number,
  partsOfBook,
  serialOf,
  sheetOfCsv,
  style,
  text,
  zipped,
  type Book,
} from '../log/workbook/book';
import { smallLog } from '../store/smallLog';
import { shutOtherHosts, tableOf, turnTo } from './log';

const csv = (name: string): string => smallLog[`${name}.csv`] ?? '';

/** Closures as another shop keeps them: a column an element, in degrees, with a day as the spreadsheet keeps days. */
const foreign = {
  name: 'Phasing',
  rows: [
    ['Job', 'Run', 'Date', 'PC 1 (cam deg)', 'PC 2 (cam deg)', 'PC 3 (cam deg)', 'PC 4 (cam deg)'].map(text),
    [text('J-1'), number(1), number(serialOf('2024-03-04'), style.day), ...[0, 269.7, 90.8, 180].map((n) => number(n))],
    [text('J-1'), number(2), number(serialOf('2024-03-05'), style.day), ...[0, 269.7, 90.1, 180].map((n) => number(n))],
  ],
};
const book: Book = {
  sheets: [sheetOfCsv('jobs', csv('jobs')), sheetOfCsv('draws', csv('draws')), foreign],
};
const others = ['specs', 'test_points', 'instruments', 'shims'].map((name) => ({
  name: `${name}.csv`,
  mimeType: 'text/csv',
  buffer: Buffer.from(csv(name)),
}));
const bookFile = (bytes: Uint8Array) => ({ name: 'Shop.xlsx', mimeType: '', buffer: Buffer.from(bytes) });

async function choose(page: Page, files: { name: string; mimeType: string; buffer: Buffer }[]): Promise<void> {
  await page.getByLabel('Choose files').setInputFiles(files);
  await expect(page.getByRole('heading', { name: 'Last load' })).toBeVisible(WAIT);
}
const lastLoad = (page: Page) => page.getByRole('table', { name: 'Files of the last load' }).getByRole('row');

const refusals = (page: Page) => page.getByRole('region', { name: 'Last load', exact: true }).getByRole('paragraph');

test('a workbook of three sheets: two are read as they are, the third is mapped and then read', async ({ page }) => {
  const tried = await shutOtherHosts(page);
  await page.goto('/log/');
  await choose(page, [...others, bookFile(bookBytes(book))]);
  await expect(lastLoad(page).filter({ hasText: 'Shop.xlsx / jobs' })).toContainText('jobs');
  const draws = (await tableOf(page, 'Files of the last load')).find((cells) => cells[0] === 'Shop.xlsx / draws');
  expect(draws?.slice(1, 5)).toEqual(['draws', '9', '9', '0']);
  await expect(refusals(page).filter({ hasText: 'Shop.xlsx / Phasing: ' })).toHaveCount(1);
  await expect(page.getByText('4 files and 1 workbook, 2 sheets read, 1 refused.')).toBeVisible();

  await page.getByRole('button', { name: 'Map its columns: Shop.xlsx / Phasing' }).click();
  // Its cells say what they are: nothing is asked of how a text is written.
  await expect(page.getByLabel('Encoding')).toHaveCount(0);
  const first = await tableOf(page, /^The first rows of the sheet/);
  expect(first[0]).toEqual(['2', 'J-1', '1', '2024-03-04', '0', '269.7', '90.8', '180']);
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id} ${nodes[0]?.html ?? ''}`)).toEqual([]);
  await page.getByRole('button', { name: 'Read it with this mapping' }).click();
  await expect(lastLoad(page).filter({ hasText: 'Read by the mapping "phasing"' })).toContainText('closures', WAIT);

  const files = await tableOf(page, 'Files in the log');
  const sheets = files.filter((cells) => cells[0]?.startsWith('Shop.xlsx / '));
  expect(new Set(sheets.map((cells) => cells[1]))).toEqual(new Set(['jobs', 'draws', 'closures']));
  // All of one workbook, and of its size.
  expect(new Set(sheets.map((cells) => `${cells[2] ?? ''} ${cells[3] ?? ''}`)).size).toBe(1);

  // The same workbook again changes nothing, and the mapping is used without a question.
  await choose(page, [bookFile(bookBytes(book))]);
  await expect(lastLoad(page).filter({ hasText: 'already in the log' })).toHaveCount(sheets.length);
  await expect(page.getByRole('button', { name: /Map its columns/ })).toHaveCount(0);
  expect(await tableOf(page, 'Files in the log')).toEqual(files);
  await turnTo(page, 'Jobs');
  await expect(page.getByRole('link', { name: 'J-1', exact: true })).toBeVisible();
  expect(tried).toEqual([]);
});

test('a workbook that can not be read is refused with its reason, and the others are read', async ({ page }) => {
  await page.goto('/log/');
  const old = Buffer.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1, 0, 0, 0, 0]);
  const swelling = zipped({
    ...partsOfBook(book),
    'xl/worksheets/sheet1.xml': `<worksheet>${' '.repeat(20_000_000)}</worksheet>`,
  });
  await choose(page, [
    ...others,
    { name: 'old.xls', mimeType: '', buffer: old },
    bookFile(swelling),
    { ...bookFile(bookBytes(book).slice(0, 900)), name: 'cut.xlsx' },
  ]);
  await expect(refusals(page).filter({ hasText: 'old.xls: This is a workbook of the old binary kind' })).toHaveCount(1);
  await expect(
    refusals(page).filter({ hasText: 'Shop.xlsx: This workbook would swell from 1 MB to 21 MB' }),
  ).toHaveCount(1);
  await expect(refusals(page).filter({ hasText: 'cut.xlsx: This workbook is cut short' })).toHaveCount(1);
  await expect(page.getByText('4 files read, 3 refused.')).toBeVisible();
});
