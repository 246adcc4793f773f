import { expect, test, WAIT, type Page } from './desk';
import { smallLog } from '../store/smallLog';
import { tableOf } from './log';

/** A folder of the browser's private storage stands in for the one that a person would pick. */
async function folderStandsIn(page: Page): Promise<void> {
  await page.addInitScript(() => {
    Object.assign(window, {
      showDirectoryPicker: async () =>
        (await navigator.storage.getDirectory()).getDirectoryHandle('bench', { create: true }),
    });
  });
}

const write = (page: Page, files: Readonly<Record<string, string>>): Promise<void> =>
  page.evaluate(async (list) => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('bench', { create: true });
    for (const [name, text] of Object.entries(list)) {
      const writing = await (await folder.getFileHandle(name, { create: true })).createWritable();
      await writing.write(text);
      await writing.close();
    }
  }, files);

test('a folder chosen once is read again with one click, and only what is new or changed is loaded', async ({
  page,
}) => {
  await folderStandsIn(page);
  await page.goto('/log/');
  await write(page, { ...smallLog, 'notes.doc': 'no sheet' });
  const section = page.getByRole('region', { name: 'Recent folder' });
  await section.getByRole('button', { name: 'Choose a folder' }).click();
  await expect(page.getByRole('table', { name: 'Files in the log' })).toBeVisible(WAIT);
  expect(await tableOf(page, 'Files in the log')).toHaveLength(Object.keys(smallLog).length);

  await page.goto('/log/');
  await expect(page.getByRole('table', { name: 'Files in the log' })).toBeVisible(WAIT);
  await section.getByRole('button', { name: 'Load what is new' }).click();
  await expect(section).toContainText('Nothing is new: 7\u00a0files');
  const jobs = smallLog['jobs.csv'] ?? '';
  await write(page, {
    'jobs-2.csv': jobs.replace('J-1', 'J-2'),
    'jobs.csv': `${jobs}J-3,S-3,Kestrel,K-1,A,2024-05-07,recalibrate,B1\n`,
  });
  await section.getByRole('button', { name: 'Load what is new' }).click();
  await expect(section).toContainText('2\u00a0files new or changed, 6\u00a0files in the log already');
  const last = page.getByRole('table', { name: 'Files of the last load' });
  await expect(last).toBeVisible(WAIT);
  expect((await tableOf(page, 'Files of the last load')).map(([name]) => name).toSorted()).toEqual([
    'jobs-2.csv',
    'jobs.csv',
  ]);
  await section.getByRole('button', { name: 'Forget it' }).click();
  await expect(section.getByRole('button', { name: 'Load what is new' })).toHaveCount(0);
});

test('a browser that can not keep a folder does not show the section', async ({ page }) => {
  await page.addInitScript(() => {
    delete (window as { showDirectoryPicker?: unknown }).showDirectoryPicker;
  });
  await page.goto('/log/');
  await expect(page.getByRole('heading', { name: 'Kept in this browser' })).toBeVisible();
  await expect(page.getByRole('heading', { name: 'Recent folder' })).toHaveCount(0);
});
