import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, WAIT, type Page } from './person';

export interface DroppedFile {
  readonly name: string;
  readonly content: Buffer | string;
}

export const filesOf = (folder: string): DroppedFile[] =>
  readdirSync(folder).map((name) => ({ name, content: readFileSync(join(folder, name)) }));

/** Drops files on the page as a person would drag them in from a folder. */
export async function drop(page: Page, files: readonly DroppedFile[]): Promise<void> {
  const parcel = files.map(({ name, content }) => ({ name, base64: Buffer.from(content).toString('base64') }));
  const transfer = await page.evaluateHandle((list) => {
    const data = new DataTransfer();
    for (const { name, base64 } of list) {
      data.items.add(new File([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))], name));
    }
    return data;
  }, parcel);
  await page.dispatchEvent('body', 'dragover', { dataTransfer: transfer });
  await page.dispatchEvent('body', 'drop', { dataTransfer: transfer });
}

/** Opens the demo log with its button and waits for the shop's figures. */
export async function openDemo(page: Page, address = '/'): Promise<void> {
  await page.goto(address);
  await page.getByRole('button', { name: 'Open the demo log' }).click();
  await expect(page.getByText('passed first time').first()).toBeVisible(WAIT);
}

/** Goes to another page by the navigation, as a reload would read the log anew. */
export async function turnTo(page: Page, name: string): Promise<void> {
  const link = page.getByRole('navigation').first().getByRole('link', { name, exact: true });
  await link.click();
  await expect(link).toHaveAttribute('aria-current', 'page');
}

/** Lets nothing out but the page's own origin; answers the list of addresses that were tried. */
export async function shutOtherHosts(page: Page): Promise<readonly string[]> {
  const tried: string[] = [];
  await page.context().route('**/*', async (route) => {
    const { hostname } = new URL(route.request().url());
    if (hostname === 'localhost') return route.continue();
    tried.push(route.request().url());
    return route.abort();
  });
  return tried;
}

/** The cells of the table with this caption, row by row. */
export async function tableOf(page: Page, caption: string | RegExp): Promise<string[][]> {
  const table = page.getByRole('table', { name: caption });
  await expect(table).toBeVisible();
  return table.evaluate((element) =>
    [...element.querySelectorAll('tbody tr')].map((row) =>
      [...row.querySelectorAll('th, td')].map((cell) => cell.textContent.trim()),
    ),
  );
}

/** A sheet with headers of a shop's own, and the file of the mapping that makes the job J-7 of it. */
export const cards = {
  sheet: { name: 'cards.txt', content: 'Karte;Pumpe\nJ-7;S-7\n' },
  mapping: {
    name: 'jobs.json',
    mimeType: 'application/json',
    buffer: Buffer.from(
      JSON.stringify({
        shimbook_mapping: 1,
        name: 'jobs of old',
        headers: ['Karte', 'Pumpe'],
        encoding: 'utf-8',
        delimiter: ';',
        decimal: 'comma',
        dates: 'iso',
        targets: [
          {
            table: 'jobs',
            shape: 'a row a reading',
            columns: {
              job_id: { from: 'header', header: 'Karte' },
              pump_serial: { from: 'header', header: 'Pumpe' },
              pump_model: { from: 'constant', value: 'Kestrel' },
              spec_id: { from: 'constant', value: 'K-1' },
              spec_revision: { from: 'constant', value: 'A' },
              received_on: { from: 'constant', value: '2024-05-01' },
              work_type: { from: 'constant', value: 'recalibrate' },
            },
          },
        ],
      }),
    ),
  },
} as const;
