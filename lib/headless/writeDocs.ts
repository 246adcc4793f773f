import { writeFile } from 'node:fs/promises';
import { format } from 'prettier';
import { glossary } from '../words/glossary';
import { logFormatDoc, resultsDoc } from './docs';

for (const [path, text] of [
  ['docs/log-format.md', logFormatDoc()],
  ['docs/results.md', resultsDoc()],
  ['docs/glossary.md', glossary()],
] as const) {
  await writeFile(path, await format(text, { parser: 'markdown' }));
}
