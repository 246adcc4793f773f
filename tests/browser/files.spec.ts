import { readFileSync } from 'node:fs';
import { expect, test, WAIT } from './desk';
import { smallLog } from '../store/smallLog';
import { drop, openDemo, turnTo, type DroppedFile } from './log';

const small: DroppedFile[] = Object.entries(smallLog).map(([name, content]) => ({ name, content }));
const header = 'job_id,run,element,cam_deg';

const broken: readonly (readonly [string, string | Buffer, string])[] = [
  ['empty.csv', '', 'The file is empty.'],
  [
    'program.csv',
    Buffer.from([0x7f, 0x45, 0x4c, 0x46, 0, 0, 1, 0, 9, 9, 3, 0]),
    'neither a CSV text nor a Parquet file',
  ],
  ['semicolons.csv', 'job_id;run;element;cam_deg\nA;1;1;0,5\n', 'parted by semicolons'],
  [
    'windows.csv',
    Buffer.from(`${header},note\nA,1,1,0,caf\xe9\n`, 'latin1'),
    'Row 2 holds characters that are not UTF-8',
  ],
  ['cut.parquet', 'PAR1 and some pages', 'This Parquet file is cut short'],
  ['torn.parquet', 'PAR1 no pages at all PAR1', "This Parquet file can't be read"],
  ['twice.csv', `${header},run\nA,1,1,0,1\n`, 'The header has run more than once'],
  ['other.csv', 'colour,weight\nred,3\n', 'No table has these columns'],
];

test('each file that can not be read is refused with its sentence, and the good ones beside it are taken in', async ({
  page,
}) => {
  await page.goto('/');
  await drop(page, [
    ...small,
    ...broken.map(([name, content]) => ({ name, content })),
    { name: 'header.csv', content: `${header}\n` },
  ]);
  await expect(page.locator('p.lead')).toContainText('1 job', WAIT);
  await turnTo(page, 'Log');
  const files = page.getByRole('table', { name: 'Files of the last load' });
  for (const [name, , says] of broken) {
    await expect(files.getByRole('row').filter({ hasText: name })).toContainText(says);
  }
  await expect(page.getByText('The file has a header and no rows.').first()).toBeVisible();
});

test('files that are all refused leave the start page, with the reasons on it', async ({ page }) => {
  await page.goto('/');
  await drop(page, [{ name: 'empty.csv', content: '' }]);
  await expect(page.getByText('The file is empty.').first()).toBeVisible(WAIT);
  await expect(page.getByRole('button', { name: 'Open the demo log' })).toBeVisible();
});

test('rows that can not be used are listed with file, row, column, value and reason', async ({ page }) => {
  await page.goto('/');
  const draws = `${smallLog['draws.csv'] ?? ''}J-1,1,full,1,0,-4,500\nJ-1,1,full,3,1,1e309,500\nJ-9,1,full,1,1,40,500\nJ-1,1,full,1,6,40,500\n`;
  await drop(
    page,
    small.map((file) => (file.name === 'draws.csv' ? { name: 'draws.csv', content: draws } : file)),
  );
  await expect(page.locator('p.lead')).toContainText('1 job', WAIT);
  await turnTo(page, 'Log');
  for (const cells of [
    ['draws.csv', '11', 'element', '0', 'outside 1 to 12'],
    ['draws.csv', '12', 'volume_cm3', '1e309', 'outside 0 to 5000'],
    ['draws.csv', '13', 'job_id', 'J-9', 'No row of jobs'],
    ['draws.csv', '14', 'element', '6', 'beyond the number of elements'],
  ]) {
    let row = page.getByRole('row');
    for (const cell of cells) row = row.filter({ hasText: cell });
    await expect(row.first()).toBeVisible();
  }
});

test('cell text stays text on the page', async ({ page }) => {
  await page.goto('/');
  const jobs = (smallLog['jobs.csv'] ?? '').replace('S-1', `"<img src=x onerror=""document.title='run'"">"`);
  await drop(
    page,
    small.map((file) => (file.name === 'jobs.csv' ? { name: 'jobs.csv', content: jobs } : file)),
  );
  await expect(page.locator('p.lead')).toContainText('1 job', WAIT);
  await turnTo(page, 'Jobs');
  await expect(page.getByText('<img src=x').first()).toBeVisible();
  expect(await page.title()).not.toBe('run');
});

test('a load can be called off, and the log opened again after it', async ({ page }) => {
  await page.goto('/');
  await page.getByRole('button', { name: 'Open the demo log' }).click();
  await page.getByRole('button', { name: 'Cancel' }).click();
  const again = page.getByRole('button', { name: 'Open the demo log' });
  const resume = page.getByRole('button', { name: 'Go on calculating' });
  await expect(again.or(resume).first()).toBeVisible(WAIT);
  if (await again.isVisible()) await openDemo(page);
  else {
    await resume.click();
    await expect(page.getByText('passed first time').first()).toBeVisible(WAIT);
  }
});

test('a template a table can be saved', async ({ page }) => {
  await page.goto('/log/');
  const saved = page.waitForEvent('download');
  await page.getByText('draws: a row is').click();
  await page.getByRole('button', { name: 'Save draws.csv' }).click();
  const file = await saved;
  expect(file.suggestedFilename()).toBe('draws.csv');
  expect(readFileSync(await file.path(), 'utf8')).toMatch(/^job_id,run,test_point,repeat,element,volume_cm3,strokes,/);
});
