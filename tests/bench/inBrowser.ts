import { spawn, type ChildProcess } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type Browser, type Page } from '@playwright/test';
import { chromiumOptions } from '../chromium';
import { filtering, type Filtered } from './filtering';

/** What a person waits for in the browser, timed on the page's own time line. */

const PORT = 3300;

/** Marks that the page sets when the log changes phase (app/_log/session.ts). */
async function phases(page: Page): Promise<ReadonlyMap<string, number>> {
  const marks = await page.evaluate(() =>
    performance.getEntriesByType('mark').map((mark): [string, number] => [mark.name, mark.startTime]),
  );
  return new Map(marks);
}

export async function browser(folder: string, engines = 1): Promise<Readonly<Record<string, number>>> {
  const chrome = await chromium.launch(chromiumOptions);
  const page = await chrome.newPage({ viewport: { width: 1440, height: 900 } });
  await page.addInitScript(() => {
    const long: number[] = [];
    Object.assign(window, { long });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) long.push(entry.startTime, entry.duration);
    }).observe({ entryTypes: ['longtask'] });
  });
  await page.goto(`http://localhost:${PORT}/?engines=${engines}`);
  await page.waitForFunction(() => performance.getEntriesByName('log:ready').length > 0);
  const chosen = folder === '' ? null : readdirSync(folder).map((file) => join(folder, file));
  if (chosen === null) await page.getByRole('button', { name: 'Open the demo log' }).click();
  else await page.locator('input[type=file]').first().setInputFiles(chosen);
  // Looked for at every frame, in the page's own time: asking from outside would add its own way there and back.
  const seen = (selector: string): Promise<number> =>
    page
      .waitForFunction((wanted) => document.querySelector(wanted) !== null && performance.now(), selector, {
        timeout: 300_000,
      })
      .then((found) => found.jsonValue())
      .then(Number);
  const told = await seen('.page p.lead');
  const shown = await seen('.page p.lead strong');
  await page.waitForFunction(() => performance.getEntriesByName('log:open').length > 0, undefined, {
    timeout: 300_000,
  });
  const at = await phases(page);
  const longTasks = await page.evaluate(() => (window as unknown as { long: number[] }).long);
  // Kept by now: the log is told to be open when its files are.
  await page.reload();
  const reopened = await page
    .waitForFunction(() => performance.getEntriesByName('log:open')[0]?.startTime ?? false, undefined, {
      timeout: 300_000,
    })
    .then((found) => found.jsonValue())
    .then(Number);
  await chrome.close();
  const [start = 0, calculating = 0, open = 0] = ['log:starting', 'log:calculating', 'log:open'].map((name) =>
    at.get(name),
  );
  const during = longTasks.flatMap((value, i) =>
    i % 2 === 0 && value >= calculating && value <= open ? [longTasks[i + 1] ?? 0] : [],
  );
  return {
    read: calculating - start,
    recalculated: open - calculating,
    told: told - start,
    shown: shown - start,
    reopened,
    longest: Math.max(0, ...during),
  };
}

/** A log opened from its files in a browser of its own, worked out to the end. */
async function opened(folder: string): Promise<{ readonly chrome: Browser; readonly page: Page }> {
  const chrome = await chromium.launch(chromiumOptions);
  const page = await chrome.newPage({ viewport: { width: 1440, height: 900 } });
  await page.goto(`http://localhost:${PORT}/`);
  await page.waitForFunction(() => performance.getEntriesByName('log:ready').length > 0);
  const files = readdirSync(folder).map((file) => join(folder, file));
  await page.locator('input[type=file]').first().setInputFiles(files);
  await page.waitForFunction(() => performance.getEntriesByName('log:open').length > 0, undefined, {
    timeout: 600_000,
  });
  return { chrome, page };
}

/** How long the search for faults takes, from opening its page to the answer [ms]. */
export async function searchedInBrowser(folder: string): Promise<number> {
  const { chrome, page } = await opened(folder);
  await page.getByRole('navigation').getByRole('link', { name: 'Faults', exact: true }).first().click();
  const searched = await page
    .waitForFunction(() => performance.getEntriesByName('searched', 'measure')[0]?.duration ?? false, undefined, {
      timeout: 300_000,
    })
    .then((found) => found.jsonValue())
    .then(Number);
  await chrome.close();
  return searched;
}

/** The slowest change of a filter on each page of an open log. */
export async function slowest(folder: string): Promise<readonly Filtered[]> {
  const { chrome, page } = await opened(folder);
  const all = await filtering(page);
  await chrome.close();
  return [...new Set(all.map((one) => one.page))].flatMap((name) =>
    all
      .filter((one) => one.page === name && one.change !== 'opened')
      .toSorted((a, b) => b.ms - a.ms)
      .slice(0, 1),
  );
}

export function serve(): Promise<ChildProcess> {
  const server = spawn('npx', ['tsx', 'lib/site/serve.ts'], {
    env: { ...process.env, PORT: String(PORT) },
    stdio: ['ignore', 'pipe', 'inherit'],
    detached: true,
  });
  return new Promise((resolve) => {
    server.stdout.once('data', () => {
      resolve(server);
    });
  });
}
