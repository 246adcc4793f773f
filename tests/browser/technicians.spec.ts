import { smallLog } from '../store/smallLog';
import { drop, turnTo, type DroppedFile } from './log';
import { expect, test, WAIT, type Page } from './desk';

/** A name that is too long for its column, so that its row is set aside. */
const CROWD = `T9 ${'and whoever else was at the bench that day '.repeat(3)}`.trim();
const [head = '', card = ''] = (smallLog['jobs.csv'] ?? '').trim().split('\n');
const jobs = (...rows: readonly string[]): string => [`${head},technician`, ...rows].join('\n').concat('\n');

const small: DroppedFile[] = Object.entries(smallLog).map(([name, content]) => ({
  name,
  content: name === 'jobs.csv' ? jobs(`${card},T7`, `${card.replace('J-1', 'J-2')},${CROWD}`) : content,
}));
const newer: DroppedFile = { name: 'newer.csv', content: jobs(`${card},T8`) };

const main = (page: Page) => page.locator('main');

async function openSmall(page: Page): Promise<void> {
  await page.goto('/');
  await drop(page, small);
  await expect(page.locator('p.lead')).toContainText('1 job', WAIT);
}

async function leaveOut(page: Page): Promise<void> {
  await turnTo(page, 'Trends');
  await page.getByRole('checkbox', { name: 'Leave technicians out' }).check();
}

test('the log names the technicians of rows set aside and replaced, and does not where they are left out', async ({
  page,
}) => {
  await openSmall(page);
  await turnTo(page, 'Log');
  await expect(main(page).getByRole('cell', { name: CROWD })).toBeVisible();
  await drop(page, [newer]);
  const question = page.getByRole('dialog', { name: '1 row of the log would be replaced' });
  await expect(question).toBeVisible(WAIT);
  await expect(question.getByRole('table').getByText('technician: T7 → T8')).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(question).toHaveCount(0);

  await leaveOut(page);
  await turnTo(page, 'Log');
  const aside = main(page).getByRole('region', { name: 'Rows set aside' });
  await expect(aside.getByRole('cell', { name: 'technician', exact: true })).toBeVisible();
  await expect(main(page).getByText('T9')).toHaveCount(0);
  await drop(page, [newer]);
  await expect(question).toBeVisible(WAIT);
  await expect(question.getByRole('table').getByText('technician: differs')).toBeVisible();
  await expect(question.getByText(/T[78]/)).toHaveCount(0);
});

test('the list of jobs neither shows nor finds technicians where they are left out, nor by an address', async ({
  page,
}) => {
  await openSmall(page);
  await turnTo(page, 'Jobs');
  await expect(main(page).getByRole('cell', { name: 'T7', exact: true })).toBeVisible();
  await leaveOut(page);
  await turnTo(page, 'Jobs');
  await expect(page.getByRole('link', { name: 'J-1', exact: true })).toBeVisible();
  await expect(main(page).getByText('T7')).toHaveCount(0);
  await page.getByLabel('Find by job or serial number').fill('T7');
  await expect(page.getByText('No job matches.')).toBeVisible();
  // The log is kept, so that an address can be gone to.
  await page.goto('/jobs/?technician=T9');
  await expect(page.getByRole('link', { name: 'J-1', exact: true })).toBeVisible(WAIT);
  await expect(main(page).getByText(/T[79]/)).toHaveCount(0);
});
