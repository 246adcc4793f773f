import { codes, layout, resultTables, type ResultColumn } from '../calc/layout';
import type { Column } from '../log/table';
import { tableNames } from '../log/table';
import { tables } from '../log/tables';
import { units, type Unit } from '../units/units';
import { exportedColumns } from '../store/tables';
import { USAGE } from './arguments';

/** The two reference pages that are written from the definitions themselves: `npm run docs`. A test holds them to it. */

const cell = (text: string): string => text.replaceAll('|', '\\|');
const row = (...cells: string[]): string => `| ${cells.map(cell).join(' | ')} |`;
const unit = (name: Unit | null): string => (name === null ? '' : units[name].symbol);

const kindWords: Readonly<Record<Column['kind'], string>> = {
  text: 'text',
  number: 'number',
  integer: 'whole number',
  date: 'day, yyyy-mm-dd',
  moment: 'day and time, yyyy-mm-dd hh:mm',
  yes_no: 'yes or no',
  choice: 'one of',
  list: 'numbers joined by hyphens or spaces',
};

function allowed(column: Column): string {
  if (column.choices !== null) return column.choices.join(', ');
  if (column.kind === 'text') return `up to ${column.max ?? 0} characters`;
  if (column.min === null || column.max === null) return '';
  return `${column.min} to ${column.max}`;
}

export function logFormatDoc(): string {
  const parts = tableNames.map((name) => {
    const table = tables[name];
    const references = table.references.map(
      (reference) => `Each row's ${reference.columns.join(' and ')} must stand in \`${reference.table}\`.`,
    );
    return [
      `## ${name}`,
      '',
      `A row is ${table.row}. Key: ${table.key.map((column) => `\`${column}\``).join(', ')}. ${references.join(' ')}`.trimEnd(),
      '',
      row('column', 'needed', 'what', 'unit', 'allowed', 'meaning'),
      row('---', '---', '---', '---', '---', '---'),
      ...table.columns.map((column) =>
        row(
          `\`${column.name}\``,
          column.required ? 'yes' : '',
          kindWords[column.kind],
          unit(column.unit),
          allowed(column),
          column.meaning,
        ),
      ),
    ].join('\n');
  });
  return `${LOG_FORMAT_INTRO}\n${parts.join('\n\n')}\n`;
}

const LOG_FORMAT_INTRO = `# The log's tables

<!-- Written by \`npm run docs\` from lib/log/tables. Change it there. -->

A log is one CSV or Parquet file a table, or several of each, or workbooks (XLSX) whose sheets are such tables: every file and
every sheet is recognised by its columns and its rows are added to its table. What counts in a workbook stands in
[mapping.md](mapping.md#workbooks). CSV is UTF-8, comma separated, decimal points, one header row; names of columns may be in capitals. The
templates on the Log page have the headers ready.

- **Accepted and set aside.** Every row is accepted, or set aside with its file, row, column, value and reason. Accepted plus
  set aside is always the number of rows read. A row's number is the one a spreadsheet shows: the header is row 1 and blank
  rows count. In Parquet the first row is row 1.
- **References.** A row of a job whose job is missing, a job whose specification revision is missing, an element beyond the
  specification's number, a test point or check that the specification does not have: set aside, and accepted of itself as
  soon as the missing row is loaded.
- **The same key again.** The later row takes the place of the earlier one, which is listed as replaced; the same row again is
  listed as there already. In a browser the page lists what would be
  replaced in an open log, and asks first. Later means loaded later, or further down in the same file. A file whose bytes are in the log
  already changes nothing.
- **Whole or not at all.** The files of one load are taken in together. A file that can't be read is refused with its reason
  and the others are taken in; a load that is called off or fails leaves the log as it was.
  In a browser the page asks before files of your own are added to the demo log.
- **Mending.** The Log page saves the rows of a table that need a hand as \`<table>-to-mend.csv\`: the table's columns with the
  cells as they were written (of a row that points nowhere, the cells' values), then \`set_aside_file\`, \`set_aside_row\`,
  \`set_aside_column\` and \`set_aside_reason\`. Mend the cells and load the file, with its originals or after them: each row takes
  the place of the one that it names, which is then listed as mended. Leave those four columns as they are. Where the row
  named is not waiting to be mended, the row counts as one of its own. A file with the name of an earlier one is named with a
  piece of its hash: \`draws.csv #1f3a9c07\`.
- **Apostrophes in a file to mend.** A cell that a spreadsheet would take for a formula, or that begins with an apostrophe, is
  written with an apostrophe in front; reading takes one leading apostrophe off every cell of such a file. In other files an
  apostrophe stays what it is.
- **Unknown columns** are named and not used.
- **Choices** may be in capitals. yes/no may be written yes, no, y, n, true, false, 1, 0.
- **Lists** in one cell are joined by hyphens or spaces: \`1-5-3-6-2-4\`.
- **Spread basis.** range_mm3 is the largest less the smallest delivery, range_percent the same as a part of the mean,
  deviation_mm3 the largest deviation from the mean either way, deviation_percent the same as a part of the mean.
`;

const resultWhat = (facts: ResultColumn | null): string =>
  facts === null ? 'text' : facts.type === 'int' ? 'whole number' : facts.type === 'real' ? 'number' : 'one of';
const resultSays = (facts: ResultColumn | null): string => (facts?.type === 'code' ? codes[facts.list].join(', ') : '');

export function resultsDoc(): string {
  const parts = resultTables.map((name) =>
    [
      `## ${name}`,
      '',
      `A row is ${layout[name].row}.`,
      '',
      row('column', 'what', 'unit', 'says', 'meaning'),
      row('---', '---', '---', '---', '---'),
      ...exportedColumns(name).map(({ name: column, facts, meaning }) =>
        row(
          `\`${column}\``,
          resultWhat(facts),
          facts?.type === 'real' ? unit(facts.unit) : '',
          resultSays(facts),
          meaning,
        ),
      ),
    ].join('\n'),
  );
  return `${RESULTS_INTRO}\n${parts.join('\n\n')}\n${RESULTS_OUTRO}`;
}

const RESULTS_INTRO = `# The result tables

<!-- Written by \`npm run docs\` from lib/calc/layout.ts. Change it there. -->

\`npm run recalc -- --in DIR --out DIR\` reads a log's tables from a folder (and the folders in it), works every job out and
writes each table below twice, as \`<table>.csv\` and \`<table>.parquet\`. The browser keeps the same tables. How each figure is
worked out stands in [method.md](method.md).

An empty cell is a figure that could not be worked out; the row's verdict or count says why. Text that a spreadsheet would
take for a formula is written with an apostrophe in front.

Files that were refused or have a remark are named on standard error, one line each.

\`\`\`text
${USAGE}
\`\`\`

**By partition**, the tables of each partition stand in a folder of its own, \`OUT/branch=north/year=2019/<table>.parquet\`, with
\`done.json\` beside them, which says out of which files they were worked out. Together they hold the very rows of one run over
everything. What was set aside of the sheets that all partitions share stands in \`OUT/shared_set_aside.parquet\`, and the sheets'
files in \`OUT/shared_files.parquet\`. [scale.md](scale.md) says how to lay a large log out, and how to read its results as one table.
`;

const RESULTS_OUTRO = `
## set_aside

A row is one row of a file that was set aside.

| column | what | meaning |
| --- | --- | --- |
| \`file\` | text | The file it stands in |
| \`log_table\` | text | The table that the file belongs to |
| \`row_no\` | whole number | Its row, as a spreadsheet counts; in Parquet the first row is 1 |
| \`column_name\` | text | The first column at fault, or the key; empty where the row can't be taken apart |
| \`value\` | text | What was written there |
| \`kind\` | text | format: a cell can't be used; reference: a counterpart is missing; repeat: the same row again; replaced: a later row has the same key; mended: a row of a mended file took its place |
| \`reason\` | text | Why, and what to do |

## files

A row is one file: its format, table, rows read, accepted and set aside, what the latter are, the SHA-256 of its bytes, a remark,
and for a refused file the reason. The sums hold for every file: \`rows_read\` = \`rows_accepted\` + \`rows_set_aside\`, and
\`rows_set_aside\` = \`rows_needing_hand\` + \`rows_repeated\` + \`rows_replaced\` + \`rows_mended\` + \`rows_left_out\`. Rows are left out by a
person's answer only, so that the last is 0 here.
`;
