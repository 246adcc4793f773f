import { allLabels, type Listed } from './labels';

const origins = { trade: 'trade', standard: 'standard', ours: 'ours' } as const;
const cell = (text: string): string => text.replaceAll('|', '\\|');

/** docs/glossary.md: each word once, with where it stands; words that mean different things stand once for each meaning. */
export function glossary(): string {
  const entries = new Map<string, { label: Listed; places: string[] }>();
  for (const label of allLabels()) {
    const key = `${label.text.toLowerCase()}|${label.meaning}`;
    const entry = entries.get(key);
    if (entry === undefined) entries.set(key, { label, places: [label.place] });
    else if (!entry.places.includes(label.place)) entry.places.push(label.place);
  }
  const lines = [...entries.values()]
    .sort((a, b) => a.label.text.toLowerCase().localeCompare(b.label.text.toLowerCase(), 'en'))
    .map(
      ({ label, places }) =>
        `| ${cell(label.text)} | ${cell(label.meaning)} | ${origins[label.origin]} | ${places.join(', ')} |`,
    );
  return [
    '# Words on the screens',
    '',
    'Every label a person sees, what it means, and where the word comes from: `trade` is said in calibration shops,',
    '`standard` is the word of a published standard or of statistics, `ours` is our own because neither has one.',
    'The last column names the table that has it, or `screen` for words of the pages.',
    '',
    '<!-- prettier-ignore-start -->',
    '',
    '| word | meaning | origin | where |',
    '|---|---|---|---|',
    ...lines,
    '',
    '<!-- prettier-ignore-end -->',
    '',
  ].join('\n');
}
