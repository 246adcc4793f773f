import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, type Page } from './person';
import { csvParse, type DSVRowString } from 'd3-dsv';

export const DEMO_LOG = 'data-demo/log';
/** Where what the headless command makes of it lies while browser tests run (headless.ts). */
export const DEMO_RESULTS = 'test-results/demo';

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
  await expect(page.getByText('passed first time').first()).toBeVisible({ timeout: 60_000 });
}

/** Goes to another page by the navigation, as a reload would close the log. */
export async function turnTo(page: Page, name: string): Promise<void> {
  await page.getByRole('navigation').first().getByRole('link', { name, exact: true }).click();
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

/** The result tables that the headless command writes for the demo log. */
export const headlessResults = (table: string): DSVRowString[] => [
  ...csvParse(readFileSync(join(DEMO_RESULTS, `${table}.csv`), 'utf8')),
];

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
