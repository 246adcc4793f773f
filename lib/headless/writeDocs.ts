import { writeFile } from 'node:fs/promises';
import { format } from 'prettier';
import { logFormatDoc, resultsDoc } from './docs';

for (const [path, text] of [
  ['docs/log-format.md', logFormatDoc()],
  ['docs/results.md', resultsDoc()],
] as const) {
  await writeFile(path, await format(text, { parser: 'markdown' }));
}
