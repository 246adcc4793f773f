import { csvFormatRows } from 'd3-dsv';
import { guarded } from '../log/mend';
import type { Replacement } from './replacements';

const HEADER = ['table', 'key', 'column', 'in_log', 'new', 'in_log_file', 'in_log_row', 'new_file', 'new_row'];

/** What a load would replace, a row a changed cell; cells that a spreadsheet would run are guarded. */
export const replacementsCsv = (replacements: readonly Replacement[]): string => {
  const rows = replacements.flatMap(({ table, key, changes, was, is }) =>
    changes.map((change) =>
      [
        table,
        key.join(' '),
        change.column,
        change.was ?? '',
        change.is ?? '',
        was.file,
        `${was.row}`,
        is.file,
        `${is.row}`,
      ].map(guarded),
    ),
  );
  return `${csvFormatRows([HEADER, ...rows])}\n`;
};
