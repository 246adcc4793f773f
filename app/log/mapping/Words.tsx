import type { ReactElement } from 'react';
import type { ProposedTarget } from '../../../lib/log/mapping/propose';
import { normalName } from '../../../lib/log/mapping/mapping';
import { foreignWords, logWords } from '../../../lib/log/mapping/words';
import { columnAt, inWords, type Line } from './lines';
import { PlainTable } from './PlainTable';

interface Props {
  readonly lines: readonly Line[];
  readonly targets: readonly ProposedTarget[];
  /** The cells under a header of the sheet. */
  readonly cellsOf: (header: string) => readonly string[];
  readonly onChange: (line: Line) => void;
}

/** The shop's own words in columns where the log knows certain words, each with the word it stands for. */
export function Words({ lines, targets, cellsOf, onChange }: Props): ReactElement | null {
  const rows = lines.flatMap((line) => {
    const { source, to } = line;
    const column = columnAt(to);
    if (source.from !== 'header' || to === null || !targets.some(({ table }) => table === to.table)) return [];
    const known = new Map(Object.entries(source.words ?? {}).map(([theirs, ours]) => [normalName(theirs), ours]));
    return foreignWords(column, cellsOf(source.header)).map((word) => {
      const ours = known.get(normalName(word)) ?? '';
      return [
        source.header,
        word,
        <select
          key="word"
          aria-label={`${word} in ${source.header} stands for`}
          value={ours}
          onChange={(event) => {
            onChange(inWords(line, word, event.currentTarget.value));
          }}
        >
          <option value="">not known: set the row aside</option>
          {logWords(column).map((each) => (
            <option key={each}>{each}</option>
          ))}
        </select>,
      ];
    });
  });
  if (rows.length === 0) return null;
  return <PlainTable caption="Words of the shop" header={['Column', 'In the sheet', 'In the log']} rows={rows} />;
}
