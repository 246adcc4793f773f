import { writeFileSync } from 'node:fs';
import { expect, test, WAIT } from './desk';
import { smallLog } from '../store/smallLog';
import { drop, turnTo, type DroppedFile } from './log';

const small: DroppedFile[] = Object.entries(smallLog).map(([name, content]) => ({ name, content }));

/** So many readings of one job that they do not fit into the memory that this test leaves the database. */
const ROWS = 1_000_000;
const lines = ['job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm'];
for (let i = 0; i < ROWS; i += 1)
  lines.push(`J-1,${i % 60},full,${1 + (i % 50)},${1 + (i % 4)},${40 + (i % 977) / 100},500,1000,9.5`);

test('a log that does not fit is refused with the way out, and what was open stays open and kept', async ({ page }) => {
  await page.goto('/?memory=120');
  await drop(page, small);
  await expect(page.locator('p.lead')).toContainText('1 job', WAIT);
  const large = test.info().outputPath('large.csv');
  writeFileSync(large, lines.join('\n'));
  await turnTo(page, 'Log');
  await page.getByLabel('Choose files').setInputFiles(large);
  const notice = page.getByText('These files need more memory than a browser tab has.');
  await expect(notice).toBeVisible({ timeout: 120_000 });
  await expect(notice).toContainText('npm run recalc');
  await turnTo(page, 'Shop');
  await expect(page.locator('p.lead')).toContainText('1 job');
  await turnTo(page, 'Log');
  await expect(page.getByRole('table', { name: 'Files in the log' })).not.toContainText('large.csv');
  await page.reload();
  await expect(page.getByRole('table', { name: 'Files in the log' })).toBeVisible(WAIT);
  await expect(page.getByRole('table', { name: 'Files in the log' })).not.toContainText('large.csv');
});
