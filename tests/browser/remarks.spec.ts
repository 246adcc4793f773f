import { readFileSync } from 'node:fs';
import { expect, linkTo, test, WAIT, type Page } from './desk';
import { unzipSync } from 'fflate';
import { smallLog } from '../store/smallLog';
import { expectAccessible, expectNoSidewaysScroll } from './accessible';
import { drop, openDemo, tableOf, turnTo } from './log';

const TEXT = `No <b>governor</b> sheet; ask "Plover" ${'again and '.repeat(40)}again`;

const remarks = (page: Page) => page.getByRole('region', { name: 'Remarks', exact: true });

async function add(page: Page, text: string): Promise<void> {
  await remarks(page).getByRole('button', { name: 'Add a remark' }).click();
  await remarks(page).getByRole('textbox', { name: 'Remark' }).fill(text);
  await remarks(page).getByRole('button', { name: 'Add the remark' }).click();
}

test('a remark on a kept log is there at the next visit and in the archive, and can be taken back and had again', async ({
  page,
}) => {
  await page.goto('/');
  await drop(
    page,
    Object.entries(smallLog).map(([name, content]) => ({ name, content })),
  );
  await expect(page.locator('p.lead')).toContainText('passed first time', WAIT);
  await page.goto('/job/?id=J-1');
  await expect(remarks(page)).toContainText('No remark has been made on this job', WAIT);
  await expect(remarks(page)).toContainText('kept with the log in this browser');
  await add(page, TEXT);
  const list = page.getByRole('list', { name: 'Remarks on this job' });
  await expect(list).toContainText(TEXT, WAIT);
  await expect(remarks(page).getByRole('status')).toHaveText('The remark was added.');
  await add(page, '=1+1');
  await expect(remarks(page)).toContainText('a spreadsheet would run');
  await remarks(page).getByRole('button', { name: 'Cancel' }).click();
  await expectAccessible(page);
  await page.setViewportSize({ width: 390, height: 844 });
  await expectNoSidewaysScroll(page);
  await page.setViewportSize({ width: 1440, height: 900 });

  await page.reload();
  await expect(list).toContainText(TEXT, WAIT);
  await turnTo(page, 'Log');
  const kept = await tableOf(page, 'Files kept in this browser');
  expect(kept.filter(([name]) => /^remark-r-[0-9a-f]{8}\.csv$/.test(name ?? ''))).toHaveLength(1);
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Take everything out' }).click();
  const files = Object.entries(unzipSync(readFileSync(await (await saved).path())));
  const [, bytes] = files.find(([name]) => name.includes('remark-')) ?? [];
  expect(new TextDecoder().decode(bytes)).toContain(TEXT.replaceAll('"', '""'));
  const out = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save the remarks' }).click();
  const csv = await out;
  expect(csv.suggestedFilename()).toBe('remarks.csv');
  expect(readFileSync(await csv.path(), 'utf8')).toContain(TEXT.replaceAll('"', '""'));

  await page.goto('/job/?id=J-1');
  await remarks(page)
    .getByRole('button', { name: /^Take back/ })
    .click(WAIT);
  await expect(list).toHaveCount(0, WAIT);
  await page.reload();
  await expect(remarks(page)).toContainText('No remark has been made on this job', WAIT);
  await turnTo(page, 'Log');
  await page.getByRole('button', { name: 'Undo the last load' }).click();
  await page.getByRole('button', { name: 'Take them out' }).click();
  await expect(page.getByRole('button', { name: 'Save the remarks' })).toBeVisible(WAIT);
  await page.goto('/job/?id=J-1');
  await expect(list).toContainText(TEXT, WAIT);
});

test('on the demo log a remark lives in the tab, which is said; no result changes and nothing is asked', async ({
  page,
}) => {
  await openDemo(page);
  await turnTo(page, 'Jobs');
  await page
    .getByRole('link', { name: /^J\d+$/ })
    .first()
    .click(WAIT);
  await expect(remarks(page)).toContainText('The demo log keeps nothing of yours', WAIT);
  await expect(remarks(page)).toContainText('gone when this tab is closed');
  const list = page.getByRole('list', { name: 'Remarks on this job' });
  await add(page, 'Shown to the owner');
  await expect(list).toContainText('Shown to the owner', WAIT);
  await expect(page.getByRole('progressbar')).toHaveCount(0);
  await page.reload();
  await expect(remarks(page)).toContainText('No remark has been made on this job', WAIT);
});

test('a pump that came back stands beside its other jobs, and what speaks for what is told with its basis', async ({
  desk: page,
}) => {
  await linkTo(page, '/job/?id=J02496');
  const before = page.getByRole('region', { name: 'The same pump before' });
  await expect(before).toContainText('Held against the last repair', WAIT);
  await expect(before.getByRole('table').getByRole('row')).toHaveCount(9);
  const wear = before.getByRole('list', { name: 'Speaks for wear or another cause' });
  await expect(wear).toContainText('h run since the last repair');
  await expect(wear).toContainText('common practice, no source');
  await expectAccessible(page);
  await page.setViewportSize({ width: 390, height: 844 });
  await expectNoSidewaysScroll(page);
});
