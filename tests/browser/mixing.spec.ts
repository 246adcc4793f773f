import { expect, test, WAIT, type Page } from './desk';
import { smallLog } from '../store/smallLog';
import { expectAccessible } from './accessible';
import { cards, drop, openDemo, tableOf, turnTo, type DroppedFile } from './log';

const small: DroppedFile[] = Object.entries(smallLog).map(([name, content]) => ({ name, content }));
const secondJob: DroppedFile = {
  name: 'second.csv',
  content: `${(smallLog['jobs.csv'] ?? '').split('\n')[0] ?? ''}\nJ-2,S-2,Kestrel,K-1,A,2024-05-06,recalibrate,B1\n`,
};

const lead = (page: Page) => page.locator('p.lead');
const question = (page: Page) => page.getByRole('dialog', { name: 'The demo log is open.' });
const keptNames = async (page: Page): Promise<string[]> =>
  (await tableOf(page, 'Files kept in this browser')).map(([name]) => name ?? '').toSorted();
const ownNames = small.map(({ name }) => name).toSorted();

/** The jobs that the opening page's first sentence counts. */
const jobs = async (page: Page): Promise<number> => {
  await expect(lead(page)).toContainText('passed first time', WAIT);
  const told = /([\d,\u202f]+)\u00a0jobs?\b/.exec(await lead(page).innerText());
  return Number((told?.[1] ?? '').replace(/\D/g, ''));
};

test('Enter closes the demo log, and the own log alone is counted, now and at the next visit', async ({ page }) => {
  await openDemo(page);
  await drop(page, small);
  await expect(question(page).getByRole('button').first()).toBeFocused(WAIT);
  await expectAccessible(page);
  await page.keyboard.press('Enter');
  await expect(lead(page)).toContainText('1\u00a0job', WAIT);
  expect(await jobs(page)).toBe(1);
  await page.goto('/');
  expect(await jobs(page)).toBe(1);
  await turnTo(page, 'Log');
  await expect(page.getByText('The demo log is open')).toHaveCount(0);
  expect(await keptNames(page)).toEqual(ownNames);
  // Nothing of the demo is there any more, so nothing is asked.
  await drop(page, [secondJob]);
  await expect(page.getByRole('table', { name: 'Files in the log' })).toContainText('second.csv', WAIT);
  await turnTo(page, 'Shop');
  expect(await jobs(page)).toBe(2);
});

test('files are added to the demo log when that is chosen, and it can be closed out of both later', async ({
  page,
}) => {
  await openDemo(page);
  const demo = await jobs(page);
  expect(demo).toBeGreaterThan(1);
  await drop(page, small);
  await question(page).getByRole('button', { name: 'Add them to the demo log' }).click(WAIT);
  await expect(question(page)).toHaveCount(0);
  await expect.poll(() => jobs(page), WAIT).toBe(demo + 1);
  await page.goto('/');
  expect(await jobs(page)).toBe(demo + 1);
  // The next load is asked about by itself; those of before stay when the demo goes.
  await drop(page, [secondJob]);
  await expect(question(page)).toContainText('They are kept, and stay open', WAIT);
  await question(page).getByRole('button', { name: 'Close the demo log and load these files' }).click();
  await expect.poll(() => jobs(page), WAIT).toBe(2);
  await turnTo(page, 'Log');
  expect(await keptNames(page)).toEqual([...ownNames, 'second.csv'].toSorted());
});

test('Escape leaves the demo log alone, by the keyboard, and so does the last answer', async ({ page }) => {
  await openDemo(page);
  const demo = await jobs(page);
  await drop(page, small);
  await expect(question(page)).toBeVisible(WAIT);
  await page.keyboard.press('Escape');
  await expect(question(page)).toHaveCount(0);
  expect(await jobs(page)).toBe(demo);
  await turnTo(page, 'Log');
  await page
    .getByLabel('Choose files')
    .setInputFiles(small.map(({ name, content }) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(content) })));
  await expect(question(page).getByRole('button').first()).toBeFocused(WAIT);
  await page.keyboard.press('Tab');
  await page.keyboard.press('Tab');
  await expect(question(page).getByRole('button', { name: 'Leave both as they are' })).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(question(page)).toHaveCount(0);
  await expect(page.getByRole('table', { name: 'Files in the log' })).not.toContainText('.csv');
  await page.goto('/');
  expect(await jobs(page)).toBe(demo);
});

test('a sheet that waits for its mapping asks again before it is added to the demo log', async ({ page }) => {
  await openDemo(page);
  await turnTo(page, 'Log');
  await drop(page, [cards.sheet]);
  await question(page).getByRole('button', { name: 'Add them to the demo log' }).click(WAIT);
  await expect(page.getByRole('button', { name: 'Map its columns: cards.txt' })).toBeVisible(WAIT);
  await page.getByLabel('Take a mapping from a file').setInputFiles(cards.mapping);
  await question(page).getByRole('button', { name: 'Close the demo log and load these files' }).click(WAIT);
  const files = page.getByRole('table', { name: 'Files in the log' });
  await expect(files).toContainText('cards.txt', WAIT);
  await expect(files).not.toContainText('.parquet');
});

test('what is new in the recent folder is asked about, and is still new after Escape', async ({ page }) => {
  // A folder of the browser's private storage stands in for the one that a person would pick.
  await page.addInitScript(() => {
    Object.assign(window, {
      showDirectoryPicker: async () =>
        (await navigator.storage.getDirectory()).getDirectoryHandle('bench', { create: true }),
    });
  });
  await openDemo(page);
  await turnTo(page, 'Log');
  await page.evaluate(async (list) => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('bench', { create: true });
    for (const [name, text] of Object.entries(list)) {
      const writing = await (await folder.getFileHandle(name, { create: true })).createWritable();
      await writing.write(text);
      await writing.close();
    }
  }, smallLog);
  const section = page.getByRole('region', { name: 'Recent folder' });
  await section.getByRole('button', { name: 'Choose a folder' }).click(WAIT);
  await expect(question(page)).toBeVisible(WAIT);
  await page.keyboard.press('Escape');
  await section.getByRole('button', { name: 'Load what is new' }).click(WAIT);
  await expect(section).toContainText('7\u00a0files new or changed');
  await question(page).getByRole('button', { name: 'Close the demo log and load these files' }).click(WAIT);
  const files = page.getByRole('table', { name: 'Files in the log' });
  await expect(files).toContainText('draws.csv', WAIT);
  await expect(files).not.toContainText('.parquet');
});

test('a demo log that can not be let go stays open, which is said, and nothing is added to it', async ({
  page,
  context,
  baseURL,
}) => {
  await openDemo(page);
  const demo = await jobs(page);
  const tools = await context.newCDPSession(page);
  await tools.send('Storage.overrideQuotaForOrigin', { origin: baseURL ?? '', quotaSize: 1 });
  await drop(page, small);
  await question(page).getByRole('button', { name: 'Close the demo log and load these files' }).click(WAIT);
  await expect(page.getByText(/The demo log could not be closed.*storage.*is full/)).toBeVisible(WAIT);
  expect(await jobs(page)).toBe(demo);
});

/** A visit on which the opening of the kept log is called off: the demo log is offered then. */
async function visitUnopened(page: Page): Promise<void> {
  // The database is held back, so that there is time to call it off.
  let release = (): void => undefined;
  const held = new Promise<void>((resolve) => {
    release = resolve;
  });
  await page.route('**/*.wasm', async (route) => {
    await held;
    await route.continue();
  });
  await page.goto('/');
  await page.getByRole('button', { name: 'Cancel' }).click(WAIT);
  release();
  await expect(page.getByRole('button', { name: 'Open the kept log' })).toBeVisible(WAIT);
  await page.unroute('**/*.wasm');
}

test('the demo log is not added to a log of one’s own unasked', async ({ page }) => {
  await page.goto('/');
  await drop(page, small);
  expect(await jobs(page)).toBe(1);
  const own = page.getByRole('dialog', { name: 'A log of your own is open.' });

  await visitUnopened(page);
  await page.getByRole('button', { name: 'Open the demo log' }).click();
  await expect(own.getByRole('button', { name: 'Leave the demo log closed' })).toBeFocused(WAIT);
  await page.keyboard.press('Enter');
  await expect(own).toHaveCount(0);
  expect(await jobs(page)).toBe(1);

  await visitUnopened(page);
  await page.getByRole('button', { name: 'Open the demo log' }).click();
  await own.getByRole('button', { name: 'Add the demo log to your own' }).click(WAIT);
  await expect.poll(() => jobs(page), WAIT).toBeGreaterThan(1000);
});
