import { readFile } from 'node:fs/promises';
import { format } from 'prettier';
import { expect, it } from 'vitest';
import { logFormatDoc, resultsDoc } from '../../lib/headless/docs';

it.each([
  ['docs/log-format.md', logFormatDoc],
  ['docs/results.md', resultsDoc],
])('%s says what the definitions say (npm run docs writes it)', async (path, write) => {
  expect(await readFile(path, 'utf8')).toBe(await format(write(), { parser: 'markdown' }));
});
