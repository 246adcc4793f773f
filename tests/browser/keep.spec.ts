import { mkdtempSync, readFileSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import AxeBuilder from '@axe-core/playwright';
import { expect, patient, test, WAIT, type Page } from './desk';
import { unzipSync } from 'fflate';
import { smallLog } from '../store/smallLog';
import { cards, drop, openDemo, tableOf, turnTo, type DroppedFile } from './log';

const small: DroppedFile[] = Object.entries(smallLog).map(([name, content]) => ({ name, content }));
const secondJob: DroppedFile = {
  name: 'second.csv',
  content: `${(smallLog['jobs.csv'] ?? '').split('\n')[0] ?? ''}\nJ-2,S-2,Kestrel,K-1,A,2024-05-06,recalibrate,B1\n`,
};

const kept = (page: Page) => page.getByRole('region', { name: 'Kept in this browser', exact: true });
const lead = (page: Page) => page.locator('p.lead');

/** Loads the small log on the opening page and waits until it is kept. */
async function loadSmall(page: Page): Promise<void> {
  await page.goto('/');
  await drop(page, small);
  await expect(lead(page)).toContainText('passed first time', WAIT);
}

async function loadMore(page: Page, files: readonly DroppedFile[]): Promise<void> {
  await drop(page, files);
  await expect(page.getByRole('heading', { name: 'Last load' })).toBeVisible(WAIT);
}

async function reopened(page: Page, jobs: string): Promise<void> {
  await page.goto('/');
  await expect(lead(page)).toContainText(jobs, WAIT);
}

/** Names in the browser's private folder. */
const stored = (page: Page): Promise<string[]> =>
  page.evaluate(async () => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('shimbook-log');
    const names: string[] = [];
    for await (const name of folder.keys()) names.push(name);
    return names.toSorted();
  });

async function archive(page: Page): Promise<string> {
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Take everything out' }).click();
  return (await saved).path();
}

test('the log opens by itself at the next visit, on whatever page, and the last load can be undone for good', async ({
  page,
}) => {
  await loadSmall(page);
  await turnTo(page, 'Log');
  await loadMore(page, [secondJob]);
  await page.goto('/jobs/');
  await expect(page.getByRole('link', { name: 'J-2', exact: true })).toBeVisible(WAIT);

  await turnTo(page, 'Log');
  const undo = page.getByRole('group', { name: 'Undo the last load' });
  await expect(undo).toContainText('second.csv; 1\u00a0row');
  await undo.getByRole('button', { name: 'Undo the last load' }).click();
  await undo.getByRole('button', { name: 'Take them out' }).click();
  await expect(undo).toContainText('jobs.csv');
  expect((await tableOf(page, 'Files kept in this browser')).map(([name]) => name)).not.toContain('second.csv');
  await reopened(page, '1\u00a0job');
  expect((await stored(page)).filter((name) => name.startsWith('file-'))).toHaveLength(small.length);

  await turnTo(page, 'Log');
  await undo.getByRole('button', { name: 'Undo the last load' }).click();
  await undo.getByRole('button', { name: 'Take them out' }).click();
  await expect(kept(page)).toContainText('Nothing is kept yet');
  await page.goto('/');
  await expect(page.getByRole('button', { name: 'Open the demo log' })).toBeVisible();
});

test('a sheet of a shop’s own comes back as its mapping read it, though the mapping was forgotten', async ({
  page,
}) => {
  await page.goto('/log/');
  await page.getByLabel('Take a mapping from a file').setInputFiles(cards.mapping);
  await expect(page.getByRole('button', { name: 'Forget jobs of old' })).toBeVisible();
  await loadMore(page, [...small, cards.sheet]);
  const before = await tableOf(page, 'Files in the log');
  await page.getByRole('button', { name: 'Forget jobs of old' }).click();
  await page.goto('/log/');
  await expect(page.getByRole('table', { name: 'Files in the log' })).toBeVisible(WAIT);
  expect(await tableOf(page, 'Files in the log')).toEqual(before);
  await turnTo(page, 'Jobs');
  await expect(page.getByRole('link', { name: 'J-7', exact: true })).toBeVisible();
});

test('everything taken out is restored in another browser byte for byte; a damaged archive is refused by name', async ({
  page,
  browser,
}) => {
  await loadSmall(page);
  await turnTo(page, 'Log');
  await loadMore(page, [secondJob]);
  const path = await archive(page);
  const files = unzipSync(readFileSync(path));
  for (const { name, content } of [...small, secondJob]) {
    const [, bytes] = Object.entries(files).find(([place]) => place.endsWith(` ${name}`)) ?? [];
    expect(Buffer.from(bytes ?? []).equals(Buffer.from(content))).toBe(true);
  }

  const elsewhere = await browser.newContext();
  const other = patient(await elsewhere.newPage());
  await other.goto('/log/');
  const restore = other.getByLabel('Restore from an archive');
  await restore.setInputFiles(path);
  await expect(other.getByRole('table', { name: 'Files in the log' })).toBeVisible(WAIT);
  const again = await archive(other);
  expect(readFileSync(again).equals(readFileSync(path))).toBe(true);
  expect(await tableOf(other, 'Files in the log')).toEqual(await tableOf(page, 'Files in the log'));

  const damaged = Buffer.from(readFileSync(path));
  const at = damaged.indexOf('J-1,1,full,1,1,40.0');
  damaged.write('J-1,1,full,1,1,41.0', at);
  await restore.setInputFiles({ name: 'damaged.zip', mimeType: 'application/zip', buffer: damaged });
  await expect(kept(other)).toContainText('draws.csv is damaged in the archive');
  expect(readFileSync(await archive(other)).equals(readFileSync(path))).toBe(true);

  await kept(other).getByRole('button', { name: 'Delete for good' }).click();
  await expect(kept(other)).toContainText('8\u00a0files of 2\u00a0loads go from this browser');
  await kept(other).getByRole('button', { name: 'Delete it now' }).click();
  await expect(kept(other)).toContainText('Nothing is kept yet');
  expect((await stored(other)).filter((name) => !name.startsWith('list-'))).toEqual([]);
  await elsewhere.close();
});

test('a second tab reads the same log, says why it can not write, is told of changes, and takes over', async ({
  page,
  context,
}) => {
  await loadSmall(page);
  const second = patient(await context.newPage());
  await second.goto('/log/');
  await expect(second.getByRole('table', { name: 'Files in the log' })).toBeVisible(WAIT);
  await expect(second.getByText('open for writing in another tab').first()).toBeVisible();
  await expect(second.getByRole('button', { name: 'Open for writing in another tab' })).toBeDisabled();
  await drop(second, [secondJob]);

  await turnTo(page, 'Log');
  await loadMore(page, [secondJob]);
  await expect(second.getByText('was changed in another tab')).toBeVisible();
  await page.close();
  await second.getByRole('button', { name: 'Open it again' }).click();
  await expect(second.getByRole('row').filter({ hasText: 'second.csv' }).first()).toBeVisible(WAIT);
  await expect(second.getByLabel('Choose files')).toBeEnabled();
  await loadMore(second, [{ name: 'third.csv', content: String(secondJob.content).replace('J-2', 'J-3') }]);
  await reopened(second, '3\u00a0jobs');
});

test('a tab that is killed in the middle of a load leaves the log as it was', async ({ page, context }) => {
  await loadSmall(page);
  const rows = Array.from({ length: 200_000 }, (_, i) => `J-1,3,full,${(i % 99) + 1},${(i % 4) + 1},40,500`);
  const large = `job_id,run,test_point,repeat,element,volume_cm3,strokes\n${rows.join('\n')}\n`;
  await drop(page, [{ name: 'large.csv', content: large }]);
  await expect(page.getByRole('progressbar')).toBeVisible();
  await page.close({ runBeforeUnload: false });
  const next = patient(await context.newPage());
  await next.goto('/log/');
  await expect(next.getByRole('table', { name: 'Files in the log' })).toBeVisible(WAIT);
  const names = (await tableOf(next, 'Files kept in this browser')).map(([name]) => name);
  expect(names.toSorted()).toEqual(small.map(({ name }) => name).toSorted());
  const hashes = (await stored(next)).filter((name) => !name.startsWith('list-'));
  expect(hashes).toHaveLength(small.length);
});

test('with the storage full the files stay open in the tab, and it is said that they are not kept and why', async ({
  page,
  context,
  baseURL,
}) => {
  await loadSmall(page);
  const tools = await context.newCDPSession(page);
  await tools.send('Storage.overrideQuotaForOrigin', { origin: baseURL ?? '', quotaSize: 1000 });
  await turnTo(page, 'Log');
  await loadMore(page, [secondJob]);
  await expect(page.getByText(/not kept.*storage.*is full/)).toBeVisible();
  await page.getByRole('button', { name: 'Understood' }).click();
  await turnTo(page, 'Shop');
  await expect(lead(page)).toContainText('2\u00a0jobs');
  await tools.send('Storage.overrideQuotaForOrigin', { origin: baseURL ?? '' });
  await reopened(page, '1\u00a0job');
});

for (const [what, deny] of [
  ['no private storage', () => Object.defineProperty(navigator, 'storage', { value: undefined })],
  [
    'a storage that is denied',
    () => {
      StorageManager.prototype.getDirectory = () => Promise.reject(new DOMException('denied', 'SecurityError'));
      Object.defineProperty(window, 'localStorage', {
        get: () => {
          throw new DOMException('denied', 'SecurityError');
        },
      });
    },
  ],
] as const) {
  test(`a browser with ${what} works on the log until the page is closed, and says so once`, async ({ page }) => {
    await page.addInitScript(deny);
    await loadSmall(page);
    const told = page.getByRole('status').getByText('does not let the page keep files');
    await expect(told).toBeVisible();
    await page.getByRole('button', { name: 'Understood' }).click();
    await turnTo(page, 'Log');
    await loadMore(page, [secondJob]);
    await expect(page.getByRole('row').filter({ hasText: 'second.csv' }).first()).toBeVisible();
    await expect(told).toHaveCount(0);
    await expect(kept(page)).toContainText('does not let the page keep files');
    await page.goto('/');
    await expect(page.getByRole('button', { name: 'Open the demo log' })).toBeVisible();
  });
}

test('a file that changes on disk while it is read is refused, and the others are taken in', async ({ page }) => {
  const folder = mkdtempSync(join(tmpdir(), 'changing-'));
  const paths = small.map(({ name, content }) => {
    writeFileSync(join(folder, name), content);
    return join(folder, name);
  });
  const changing = join(folder, 'late.csv');
  writeFileSync(changing, secondJob.content);
  // The database is held back until the file was written to.
  let release = (): void => undefined;
  const held = new Promise<void>((resolve) => {
    release = resolve;
  });
  await page.route('**/*.wasm', async (route) => {
    await held;
    await route.continue();
  });
  await page.goto('/log/');
  await page.getByLabel('Choose files').setInputFiles([...paths, changing]);
  writeFileSync(changing, `${String(secondJob.content)}J-3,S-3,Kestrel,K-1,A,2024-05-07,recalibrate,B1\n`);
  utimesSync(changing, new Date(2030, 1, 1), new Date(2030, 1, 1));
  release();
  await expect(page.getByRole('heading', { name: 'Last load' })).toBeVisible(WAIT);
  const last = page.getByRole('table', { name: 'Files of the last load' }).getByRole('row');
  await expect(last.filter({ hasText: 'late.csv' })).toContainText('changed, moved or removed while it was being read');
  await expect(kept(page)).toContainText('7\u00a0files');
});

test('a kept file that is damaged is named, and the others open', async ({ page }) => {
  await loadSmall(page);
  await turnTo(page, 'Log');
  await loadMore(page, [secondJob]);
  const damaged = await page.evaluate(async (text) => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('shimbook-log');
    for await (const [name, handle] of folder.entries()) {
      if (!(handle instanceof FileSystemFileHandle) || (await (await handle.getFile()).text()) !== text) continue;
      const writing = await handle.createWritable();
      await writing.write(text.replace('S-2', 'S-9'));
      await writing.close();
      return name;
    }
    return null;
  }, String(secondJob.content));
  expect(damaged).not.toBeNull();
  await reopened(page, '1\u00a0job');
  await expect(page.getByText('The kept copy of second.csv is damaged or gone')).toBeVisible();
  // Loaded again it is whole again, here and at the next visit.
  await turnTo(page, 'Log');
  await loadMore(page, [secondJob]);
  await reopened(page, '2\u00a0jobs');
  await expect(page.getByText('is damaged or gone')).toHaveCount(0);
});

test('the demo log is there at the next visit without a file kept, its opening can be called off, and it can be closed', async ({
  page,
}) => {
  await openDemo(page);
  expect(await stored(page)).toEqual([expect.stringMatching(/^list-/)]);
  await page.goto('/');
  await page.getByRole('button', { name: 'Cancel' }).click();
  const open = page.getByRole('button', { name: 'Open the kept log' });
  await expect(open.or(lead(page)).first()).toBeVisible(WAIT);
  if (await open.isVisible()) await open.click();
  await expect(lead(page)).toBeVisible(WAIT);
  await turnTo(page, 'Log');
  await page.getByRole('button', { name: 'Close the demo log' }).click(WAIT);
  // An opening that is still under way is finished first.
  await expect(kept(page)).toContainText('Nothing is kept yet', WAIT);
  await page.goto('/');
  await expect(page.getByRole('button', { name: 'Open the demo log' })).toBeVisible();
});

test('what is kept is shown so that anyone can use it', async ({ page }) => {
  await loadSmall(page);
  await turnTo(page, 'Log');
  await expect(kept(page).getByRole('meter', { name: 'Storage used' })).toBeVisible();
  await kept(page).getByRole('button', { name: 'Delete for good' }).click();
  await page.getByRole('button', { name: 'Undo the last load' }).click();
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id} ${nodes[0]?.html ?? ''}`)).toEqual([]);
});
