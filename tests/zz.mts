import { chromium } from '@playwright/test';
import { spawn } from 'node:child_process';
const server = spawn('npx', ['tsx', 'lib/site/serve.ts'], { env: { ...process.env, PORT: '3320' }, stdio: ['ignore', 'pipe', 'inherit'], detached: true });
await new Promise((r) => server.stdout.once('data', r));
const wanted = process.argv.slice(2);
try {
const b = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu'] });
const page = await b.newPage({ viewport: { width: 1440, height: 900 } });
page.on('console', (m) => m.type() === 'error' && console.log('console', m.text().slice(0, 200)));
page.on('pageerror', (e) => console.log('pageerror', e.message.slice(0, 200)));
await page.goto('http://localhost:3320/');
await page.getByRole('button', { name: 'Open the demo log' }).click();
await page.locator('p.lead strong').first().waitFor({ timeout: 120000 });
for (const path of wanted) {
  const name = path.replace(/[^a-z]+/gi, '-').replace(/^-|-$/g, '');
  // stay in the app: push
  await page.evaluate((p) => { history.pushState({}, '', p); }, '/');
  await page.goto('http://localhost:3320' + path);
  await page.waitForFunction(() => document.querySelector('h1') !== null && performance.getEntriesByName('log:open').length > 0, undefined, { timeout: 120000 });
  await page.waitForTimeout(6000);
  for (const [w, h] of [[1440, 900], [390, 844]] as const) {
    await page.setViewportSize({ width: w, height: h });
    await page.waitForTimeout(1500);
    await page.screenshot({ path: `/tmp/shot-${name}-${w}.png`, fullPage: false });
    await page.screenshot({ path: `/tmp/full-${name}-${w}.png`, fullPage: true });
  }
  await page.setViewportSize({ width: 1440, height: 900 });
}
await b.close();
} finally { if (server.pid) process.kill(-server.pid); }
process.exit();
