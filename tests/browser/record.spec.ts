import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, patient, test, WAIT, type Page } from './desk';
import { expectAccessible, expectNoSidewaysScroll } from './accessible';
import { lettersOf, pagesWith, readPdf, runsWrong, type PrintedTable } from './pdf';
import { DEMO_LOG, headlessResults } from './headless';
import { openDemo, turnTo } from './log';

/** A job with findings, whose lift was read in run 1. */
function pickJob(): string {
  const read = new Set(
    headlessResults('timing').flatMap((row) => (row.run === '1' && row.lift_mm !== '' ? [row.job_id] : [])),
  );
  const [most] = headlessResults('outcomes')
    .filter(({ job_id }) => read.has(job_id))
    .toSorted((a, b) => Number(b.breaking) - Number(a.breaking));
  return most?.job_id ?? '';
}
const job = pickJob();

async function openRecord(page: Page): Promise<void> {
  await turnTo(page, 'Jobs');
  await page.getByRole('searchbox').fill(job);
  await page.getByRole('link', { name: job, exact: true }).click();
  await page.getByRole('link', { name: 'Audit record' }).click();
  await expect(page.getByRole('heading', { level: 1, name: `Audit record of job ${job}` })).toBeVisible(WAIT);
}

async function saveAs(page: Page, button: string): Promise<string> {
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: button }).click();
  const download = await coming;
  const path = join(mkdtempSync(join(tmpdir(), 'record-')), download.suggestedFilename());
  await download.saveAs(path);
  return path;
}

/** In points; a printer's driver rounds to whole pixels. */
const papers = { A4: [595.3, 841.9], Letter: [612, 792] } as const;
/** Longer tables may run over several pages (docs/audit.md). */
const MOST_ROWS_WHOLE = 25;

/** The tables of a sheet that was opened, as they are to be found on paper. */
const tablesOf = (paper: Page): Promise<PrintedTable[]> =>
  paper.locator('.record table').evaluateAll((tables) =>
    tables.map((table) => ({
      caption: table.querySelector('caption')?.textContent ?? '',
      head: table.querySelector('thead')?.textContent ?? '',
      rows: [...table.querySelectorAll('tbody tr')].map((row) => row.textContent),
    })),
  );

test.describe('the audit record of a job', () => {
  test('is saved, opens by itself without network and script, prints, and is what the headless command gives', async ({
    desk: page,
    browser,
  }, testInfo) => {
    await openRecord(page);
    const hash = await page.locator('#record-hash').innerText();
    const json = readFileSync(await saveAs(page, 'Save JSON'), 'utf8');
    const path = await saveAs(page, 'Save HTML');
    expect(path).toContain(`record-${job}-${hash.slice(0, 12)}.html`);
    expect(readFileSync(path, 'utf8')).toContain(`${json.replaceAll('<', '\\u003c')}</script>`);

    await test.step('it opens offline, with scripts off, and asks for nothing else', async () => {
      const context = await browser.newContext({ offline: true, javaScriptEnabled: false });
      const alone = await context.newPage();
      const asked: string[] = [];
      const said: string[] = [];
      alone.on('request', (request) => asked.push(request.url()));
      alone.on('console', (message) => said.push(message.text()));
      await alone.goto(pathToFileURL(path).href);
      await expect(alone.getByRole('heading', { level: 1 })).toHaveText(`Audit record of job ${job}`);
      const [lift] = headlessResults('timing').filter((row) => row.job_id === job && row.run === '1');
      const timing = alone.getByRole('table', { name: 'Timing, run by run' }).getByRole('row');
      await expect(timing.filter({ has: alone.getByRole('cell', { name: '1', exact: true }) }).first()).toContainText(
        Number(lift?.lift_mm).toFixed(3),
      );
      const found = headlessResults('findings').filter((row) => row.job_id === job);
      await expect(alone.getByRole('table', { name: 'Findings' }).locator('tbody tr')).toHaveCount(found.length);
      expect(asked).toEqual([pathToFileURL(path).href]);
      expect(said).toEqual([]);
      await context.close();
    });

    await test.step('it prints on A4 and on Letter, tables whole or with their heads repeated, in black and grey', async () => {
      const context = await browser.newContext();
      const paper = await context.newPage();
      await paper.goto(pathToFileURL(path).href);
      const tables = await tablesOf(paper);
      const short = tables.filter(({ rows }) => rows.length <= MOST_ROWS_WHOLE);
      const long = tables.filter(({ rows }) => rows.length > MOST_ROWS_WHOLE);
      expect(Math.min(short.length, long.length)).toBeGreaterThan(0);
      for (const format of ['A4', 'Letter'] as const) {
        const pdf = await paper.pdf({ format });
        await testInfo.attach(`${format}.pdf`, { body: pdf, contentType: 'application/pdf' });
        const pages = await readPdf(pdf);
        expect(pages.length).toBeGreaterThan(3);
        expect(pages.length).toBeLessThan(40);
        const [width, height] = papers[format];
        for (const [k, printed] of pages.entries()) {
          expect(Math.abs(printed.width - width)).toBeLessThan(1);
          expect(Math.abs(printed.height - height)).toBeLessThan(1);
          expect(printed.text).toContain(lettersOf(`Page ${k + 1} of ${pages.length}`));
          expect(printed.text).toContain(lettersOf(`SHA-256 ${hash}`));
          expect(printed.text).toContain(lettersOf(`Audit record of job ${job}`));
          for (const colour of printed.colours) expect(new Set(colour.split(',')).size).toBe(1);
          expect(printed.pictures).toBe(0);
        }
        for (const table of short) {
          expect({ table: table.caption, pages: pagesWith(pages, table).length }).toEqual({
            table: table.caption,
            pages: 1,
          });
        }
        for (const table of long) expect(runsWrong(pages, table)).toBeNull();
      }
      // As wide as Letter and A4 leave between the margins, 186 mm: no table runs over the edge.
      await paper.setViewportSize({ width: 703, height: 900 });
      const over = await paper.locator('.record').evaluate((sheet) => sheet.scrollWidth - sheet.clientWidth);
      expect(over).toBeLessThanOrEqual(0);
      await context.close();
    });

    await test.step('the headless command finds it the same, byte for byte', () => {
      const done = spawnSync('npm', ['run', '--silent', 'verify', '--', path, DEMO_LOG], { encoding: 'utf8' });
      expect(done.stderr).toBe('');
      expect(done.stdout).toContain('byte for byte');
      expect(done.stdout.trimEnd().split('\n').at(-1)).toBe('Same.');
      expect(done.status).toBe(0);
    });
  });

  test('is the same in another time zone and language', async ({ desk: page, browser }) => {
    await openRecord(page);
    const hash = await page.locator('#record-hash').innerText();
    const context = await browser.newContext({ timezoneId: 'Pacific/Kiritimati', locale: 'de-DE' });
    const elsewhere = patient(await context.newPage());
    await openDemo(elsewhere);
    await openRecord(elsewhere);
    expect(await elsewhere.locator('#record-hash').innerText()).toBe(hash);
    expect(await elsewhere.locator('.record').innerText()).toBe(await page.locator('.record').innerText());
    await context.close();
  });

  test('alone is printed from the page, which is accessible and fits a telephone', async ({ desk: page }) => {
    await page.emulateMedia({ reducedMotion: 'reduce' });
    await openRecord(page);
    await expectAccessible(page);
    await page.emulateMedia({ media: 'print' });
    for (const hidden of ['header.head', 'footer.foot', '.no-print']) {
      await expect(page.locator(hidden).first()).toBeHidden();
    }
    await expect(page.locator('.record')).toBeVisible();
    await page.emulateMedia({ media: 'screen' });
    await page.setViewportSize({ width: 390, height: 844 });
    await expectNoSidewaysScroll(page);
  });

  test('says so where the log has no such job', async ({ page }) => {
    await page.goto('/record/?id=nowhere');
    await page.getByRole('button', { name: 'Open the demo log' }).click();
    await expect(page.getByText('There is no job nowhere in this log.')).toBeVisible({ timeout: 120_000 });
  });
});
