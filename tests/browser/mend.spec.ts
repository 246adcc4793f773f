import { readFileSync } from 'node:fs';
import AxeBuilder from '@axe-core/playwright';
import { expect, test, WAIT, type Page } from './desk';
import { smallLog } from '../store/smallLog';
import { expectAccessible, expectNoSidewaysScroll } from './accessible';
import { drop, tableOf, turnTo, type DroppedFile } from './log';

const FAULTY = 'J-1,1,full,3,1,"40,2",500,1000,\'=12\n';
const small: DroppedFile[] = Object.entries(smallLog).map(([name, content]) => ({
  name,
  content: name === 'draws.csv' ? `${content}${FAULTY}` : content,
}));
const HEADER = 'job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm\n';
const newer = { name: 'newer.csv', content: `${HEADER}J-1,1,full,1,1,40.2,500,1000,\nJ-1,1,full,5,1,40,500,1000,12\n` };

async function openSmall(page: Page): Promise<void> {
  await page.goto('/');
  await drop(page, small);
  await expect(page.locator('p.lead')).toContainText('1 job', WAIT);
}

const sums = (page: Page) => page.getByRole('region', { name: 'Rows set aside' });

test('rows set aside are saved, mended and loaded again', async ({ page }) => {
  await openSmall(page);
  await turnTo(page, 'Log');
  await expect(sums(page)).toContainText('24 rows read = 23 accepted + 1 set aside.');
  await expect(sums(page)).toContainText('1 set aside = 1 to mend + 0 there already + 0 replaced + 0 mended.');
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save these rows to mend: draws' }).click();
  const file = await saved;
  expect(file.suggestedFilename()).toBe('draws-to-mend.csv');
  const text = readFileSync(await file.path(), 'utf8');
  // What began with an apostrophe has one more, which comes off again.
  expect(text).toContain(",''=12,");
  await drop(page, [{ name: 'mended.csv', content: text.replace('"40,2"', '40.2').replace("''=12", '12') }]);
  await expect(page.getByText('It mends 1 row set aside before.').first()).toBeVisible(WAIT);
  await expect(sums(page)).toContainText('25 rows read = 24 accepted + 1 set aside.');
  await expect(sums(page)).toContainText('1 set aside = 0 to mend + 0 there already + 0 replaced + 1 mended.');
  await expect(page.getByRole('button', { name: /to mend/ })).toHaveCount(0);
  await expect(sums(page).getByText('Mended by mended.csv row 2.')).toBeVisible();
  await expect(page.getByRole('heading', { name: 'Last load' })).toBeVisible();
  await expectAccessible(page);
  await page.setViewportSize({ width: 390, height: 844 });
  await expectNoSidewaysScroll(page);
});

test('before rows of the log are replaced the person is asked, and Escape keeps the log', async ({ page }) => {
  await openSmall(page);
  await drop(page, [newer]);
  const question = page.getByRole('dialog', { name: '1 row of the log would be replaced' });
  await expect(question).toBeVisible(WAIT);
  await expect(question.getByRole('heading')).toBeFocused();
  const [row] = await tableOf(page, '1 row');
  expect(row).toEqual([
    'draws',
    'J-1 · 1 · full · 1 · 1',
    'volume_cm3: 40 → 40.2rack_mm: 12 → empty',
    'draws.csv row 2',
    'newer.csv row 2',
  ]);
  expect((await new AxeBuilder({ page }).include('dialog').analyze()).violations).toEqual([]);
  const saved = page.waitForEvent('download');
  await question.getByRole('button', { name: 'Save the list' }).click();
  expect(readFileSync(await (await saved).path(), 'utf8')).toContain(
    'draws,J-1 1 full 1 1,volume_cm3,40,40.2,draws.csv,2,newer.csv,2\n',
  );
  // The page behind shows the log as it is.
  await expect(page.locator('p.lead')).toContainText('1 job');
  await page.keyboard.press('Escape');
  await expect(question).toHaveCount(0);
  await turnTo(page, 'Log');
  await expect(page.getByText('The log was kept as it was: nothing of these files was taken in.')).toBeVisible();
  await expect(sums(page)).toContainText('24 rows read = 23 accepted');
});

test('new rows are taken, or left out with the rest of their file taken in', async ({ page }) => {
  await openSmall(page);
  await turnTo(page, 'Log');
  await drop(page, [newer]);
  await page.getByRole('button', { name: 'Leave these rows out' }).click(WAIT);
  await expect(sums(page)).toContainText('26 rows read = 24 accepted + 2 set aside.', WAIT);
  await expect(sums(page)).toContainText('= 1 to mend + 0 there already + 0 replaced + 0 mended + 1 left out.');
  await drop(page, [{ ...newer, content: newer.content.replace('40.2', '40.3') }]);
  await page.getByRole('button', { name: 'Take the new rows' }).click(WAIT);
  await expect(sums(page)).toContainText('28 rows read = 24 accepted + 4 set aside.', WAIT);
  await expect(sums(page)).toContainText('= 1 to mend + 1 there already + 1 replaced + 0 mended + 1 left out.');
});
