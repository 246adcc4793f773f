import { defineConfig } from '@playwright/test';
import { chromiumOptions } from '../chromium';

const PORT = Number(process.env.PORT ?? 3100);

export default defineConfig({
  testDir: '.',
  testMatch: '*.spec.ts',
  outputDir: '../../test-results/browser',
  globalSetup: './headless.ts',
  fullyParallel: true,
  workers: 2,
  retries: 0,
  // The longest way through the program takes over two minutes on two slow cores, beside another test.
  timeout: 300_000,
  // A machine that does other work as well answers later, and rightly.
  expect: { timeout: 20_000 },
  reporter: [['list'], ['json', { outputFile: '../../test-results/browser.json' }]],
  use: {
    baseURL: `http://localhost:${PORT}`,
    viewport: { width: 1440, height: 900 },
    // A recording of every step costs a tenth of the time: `--trace retain-on-failure` asks for one.
    screenshot: 'only-on-failure',
    // The browser's better code for the database takes as long to make as a test saves by it: the quick code does the same.
    launchOptions: { ...chromiumOptions, args: [...chromiumOptions.args, '--js-flags=--liftoff-only'] },
  },
  webServer: {
    command: 'npm run serve',
    cwd: '../..',
    env: { PORT: String(PORT) },
    url: `http://localhost:${PORT}`,
    reuseExistingServer: false,
  },
});
