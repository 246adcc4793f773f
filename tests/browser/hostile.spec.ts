import { readFileSync } from 'node:fs';
import { expect, test, WAIT, type Page } from './desk';
import { strToU8, zipSync } from 'fflate';
import { smallLog } from '../store/smallLog';
import { drop, turnTo, type DroppedFile } from './log';

/** Files, addresses and kept settings by a hand that means no good, on the real page. */

const MARKUP = `<img src=x onerror="document.title='run'">`;
const TURNED = 'S-\u202e21\u202c\u200b';
const SHOWN = 'S-⟨U+202E⟩21⟨U+202C⟩⟨U+200B⟩';
const quoted = (cell: string): string => `"${cell.replaceAll('"', '""')}"`;
const files = (log: Readonly<Record<string, string>>): DroppedFile[] =>
  Object.entries(log).map(([name, content]) => ({ name, content }));

/** What goes wrong on a page without its saying so. */
function uncaught(page: Page): readonly string[] {
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  page.on('dialog', (dialog) => {
    errors.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  return errors;
}

const opened = async (page: Page): Promise<void> => {
  await expect(page.locator('p.lead')).toContainText('1 job', WAIT);
};

test('markup and turned text in a log are shown as text on every page that shows them', async ({ page }) => {
  const errors = uncaught(page);
  const log = Object.entries(smallLog).map(([name, text]): [string, string] => [
    name === 'draws.csv' ? `${MARKUP}\u202e.csv` : name,
    text
      .replaceAll('J-1', quoted(MARKUP))
      .replaceAll('S-1', TURNED)
      .replaceAll('Kestrel', quoted(`Kestrel${MARKUP}`)),
  ]);
  const complaint = log.map(([name, text]): [string, string] =>
    name === 'jobs.csv'
      ? [name, text.replace(/\n/, ',complaint\n').replace(/B1\n/, `B1,${quoted(`${MARKUP}\u2067`)}\n`)]
      : [name, text],
  );
  await page.goto('/');
  await drop(page, files(Object.fromEntries(complaint)));
  await opened(page);
  for (const name of ['Shims', 'Wear', 'Log', 'Jobs']) {
    await turnTo(page, name);
    await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
    if (name === 'Log') await expect(page.getByText(`${MARKUP}⟨U+202E⟩.csv`).first()).toBeVisible();
    expect(await page.locator('main img').count(), name).toBe(0);
  }
  await expect(page.getByRole('link', { name: SHOWN })).toBeVisible();
  expect(await page.locator('main').innerText()).not.toMatch(/[\u202a-\u202e\u200b]/);
  // The text on the page leads back to the text in the log.
  await page.getByRole('link', { name: MARKUP }).first().click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(`Job ${MARKUP}`);
  await expect(page.getByText(`${MARKUP}⟨U+2067⟩`).first()).toBeVisible();
  await turnTo(page, 'Jobs');
  await page.getByRole('link', { name: SHOWN }).click();
  await expect(page.getByText(SHOWN).first()).toBeVisible();
  expect(await page.title()).not.toBe('run');
  expect(errors).toEqual([]);
});

/** A Parquet file of the demo with a byte of a page turned, so that the codec falls at it. */
function falling(): Buffer[] {
  const good = readFileSync('data-demo/log/instruments.parquet');
  return Array.from({ length: 6 }, (_, i) => {
    const bytes = Buffer.from(good);
    const at = 4 + i * 23;
    bytes[at] = (bytes[at] ?? 0) ^ 0xff;
    return bytes;
  });
}

test('files made to swell, to hang or to fill the memory are refused one by one, and the good ones taken in', async ({
  page,
}) => {
  const errors = uncaught(page);
  const header = 'job_id,run,element,cam_deg';
  const bomb = zipSync({
    'xl/workbook.xml': strToU8(
      '<workbook xmlns:r="r"><sheets><sheet name="S" sheetId="1" r:id="a"/></sheets></workbook>',
    ),
    'xl/_rels/workbook.xml.rels': strToU8(
      '<Relationships><Relationship Id="a" Type="x/worksheet" Target="s.xml"/></Relationships>',
    ),
    'xl/s.xml': new Uint8Array(30_000_000).fill(32),
  });
  const hostile: readonly (readonly [string, string | Buffer, string])[] = [
    ['wide.csv', `${header}${','.repeat(250_000)}\nA,1,1,0\n`, 'more than 16384 columns'],
    ['row.csv', `${header}\nJ-1,3,2${',1'.repeat(1_000_000)}\n`, 'thousands of cells more than the header'],
    ['bomb.xlsx', Buffer.from(bomb), 'would swell from 1 MB to'],
    ['nul.csv', `${header}\nJ-1,1,1,\0\n`, 'neither a CSV text nor a Parquet file'],
  ];
  const torn = falling().map((content, i) => ({ name: `torn-${i}.parquet`, content }));
  await page.goto('/');
  await drop(page, [...files(smallLog), ...hostile.map(([name, content]) => ({ name, content })), ...torn]);
  await opened(page);
  await turnTo(page, 'Log');
  const table = page.getByRole('table', { name: 'Files of the last load' });
  for (const [name, , says] of hostile) {
    await expect(table.getByRole('row').filter({ hasText: name })).toContainText(says);
  }
  await expect(table.getByRole('row').filter({ hasText: 'a page of it is damaged' }).first()).toBeVisible();
  // The codec reads on after its falls.
  await drop(page, [{ name: 'good.parquet', content: readFileSync('data-demo/log/instruments.parquet') }]);
  await expect(table.getByRole('row').filter({ hasText: 'good.parquet' })).toContainText('170', WAIT);
  expect(errors).toEqual([]);
});

test('a cell of 10 MB sets its row aside, and the page says where', async ({ page }) => {
  await page.goto('/');
  const draws = `${smallLog['draws.csv'] ?? ''}${'x'.repeat(10_000_000)},1,full,1,1,40,500\nJ-1,1,full,3,1,40,500\n`;
  await drop(page, files({ ...smallLog, 'draws.csv': draws }));
  await opened(page);
  await turnTo(page, 'Log');
  const row = page
    .getByRole('table', { name: 'Files of the last load' })
    .getByRole('row')
    .filter({ hasText: 'draws.csv' });
  await expect(row.getByRole('cell')).toHaveText(['draws.csv', 'draws', '11', '10', '1', '']);
  await expect(page.getByText('can not be taken apart').first()).toBeVisible();
});

test('settings, mappings and addresses that make no sense are passed over', async ({ page }) => {
  const errors = uncaught(page);
  await page.addInitScript(() => {
    localStorage.setItem('shimbook.units', '{"system":"__proto__","angles":{"a":1}}');
    localStorage.setItem(
      'shimbook.mappings',
      `[${'['.repeat(5000)}${']'.repeat(5000)},{"__proto__":{"x":1}},null,7,"<b>"]`,
    );
  });
  await page.goto('/');
  await drop(page, files(smallLog));
  await opened(page);
  const odd = encodeURIComponent(`${MARKUP}\u202e'); drop table jobs; --`);
  for (const path of ['/jobs/', '/job/', '/shims/', '/wear/', '/log/']) {
    const query = `id=${odd}&serial=${odd}&model=${odd}&from=9999-99-99&to=${odd}&bench=%00&work=__proto__&find=${'('.repeat(2000)}`;
    await page.goto(`${path}?${query}`);
    await expect(page.getByRole('heading', { level: 1 })).toBeVisible(WAIT);
    await expect(page.getByText('This page could not be shown')).toHaveCount(0);
    expect(await page.locator('main img').count(), path).toBe(0);
  }
  expect(await page.title()).not.toBe('run');
  expect(errors).toEqual([]);
});
