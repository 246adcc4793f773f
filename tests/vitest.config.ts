import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: '.',
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['tests/browser/**'],
    setupFiles: ['tests/setup.ts'],
    // One time zone everywhere: a figure or a plot must not depend on where the tests run.
    env: { TZ: 'UTC' },
    testTimeout: 60_000,
    hookTimeout: 120_000,
    // Property tests and databases keep both cores busy as it is.
    maxWorkers: 2,
    // A test file's imports take longer than most files' tests; what the modules keep is the same for all of them.
    isolate: false,
  },
});
