import { units } from '../units/units';
import type { Column, Reference } from './table';
import { FIRST_DAY, LAST_DAY } from './column';

/** What is said of a file that can't be read, and of a cell that can't be used: what is wrong, then what to do. */

/** A name out of a file may be as long as the file. */
const LONGEST_NAME = 80;
const short = (name: string): string => (name.length <= LONGEST_NAME ? name : `${name.slice(0, LONGEST_NAME)}…`);
const MOST_NAMED = 20;

const listed = (names: readonly string[]): string => {
  if (names.length > MOST_NAMED) {
    return `${names.slice(0, MOST_NAMED).map(short).join(', ')} and ${names.length - MOST_NAMED} more`;
  }
  const all = names.map(short);
  return all.length <= 1 ? (all[0] ?? '') : `${all.slice(0, -1).join(', ')} and ${all.at(-1) ?? ''}`;
};

export const refusal = {
  tooLarge:
    'These files need more memory than a browser tab has. Nothing of them was taken in, and the log is as it was. Load fewer years ' +
    'at a time, or work the whole log out with "npm run recalc -- --by-partition" (docs/scale.md).',
  empty: 'The file is empty. Export it again from where it came from.',
  workbook:
    'This is a spreadsheet workbook or a zip archive. Save each sheet as CSV (UTF-8, comma separated) and load those.',
  utf16: 'The text is written in UTF-16. Save it again as CSV in UTF-8.',
  notUtf8: (row: number) =>
    `Row ${row} holds characters that are not UTF-8, so the file was saved in another encoding. Save it again as CSV in UTF-8.`,
  binary:
    'This is neither a CSV text nor a Parquet file. Load CSV (UTF-8, comma separated), Parquet or a workbook (.xlsx).',
  parquetCut: 'This Parquet file is cut short: its closing part is missing. Copy or export it again.',
  parquetBroken: (detail: string) => `This Parquet file can't be read (${detail}). Export it again.`,
  csvBroken: (detail: string) => `This CSV file can't be read (${detail}). Export it again.`,
  wrongDelimiter: (name: string) =>
    `The columns are parted by ${name}; they must be parted by commas. Save it again as comma separated CSV.`,
  openQuote: (row: number) =>
    `Row ${row} opens a quote that is never closed, so that the rows after it can't be told apart. Close it, or remove it.`,
  headerQuote:
    'The header has a column name that goes on behind its closing quote, so that its end can not be told. Look for a stray quote in the header, or in the rows right after it, and remove it.',
  tooManyColumns: (most: number) =>
    `The first row is no header of a log: it has more than ${most} columns or does not end. The first row must hold the column names; take a template to see them.`,
  tooManyCells: (row: number) =>
    `Row ${row}, with others like it, has thousands of cells more than the header has columns, so the file is no table of a log. Look for rows that run into one another, or a stray comma.`,
  tooManyRejected:
    'Tens of thousands of cells stand beyond the last column of the header, so the rows do not belong to this header. Check the header, and the commas at the ends of the rows.',
  duplicateColumns: (names: readonly string[]) =>
    `The header has ${listed(names)} more than once. Rename or remove the second column of that name.`,
  noTable: (header: readonly string[]) =>
    `No table has these columns (${listed(header.slice(0, 6))}${header.length > 6 ? ', ...' : ''}). The first row must hold the column names; take a template to see them.`,
  nearTable: (table: string, lacking: readonly string[]) =>
    `It looks like the table ${table}, but lacks the column${lacking.length === 1 ? '' : 's'} ${listed(lacking)}. Add ${lacking.length === 1 ? 'it' : 'them'}, as in the template.`,
  changed:
    'The file was changed, moved or removed while it was being read, so nothing of it was taken in. Close it in other programs and load it again.',
  alreadyLoaded: (file: string) => `The same file is already in the log as ${file}; nothing was changed.`,
} as const;

export const remark = {
  headerOnly: 'The file has a header and no rows.',
  unknownColumns: (names: readonly string[]) =>
    `Column${names.length === 1 ? '' : 's'} not used: ${listed(names.slice(0, 8))}${names.length > 8 ? ` and ${names.length - 8} more` : ''}.`,
  mends: (rows: number) => `It mends ${rows === 1 ? '1 row' : `${rows} rows`} set aside before.`,
  mendsNothing: (rows: number) =>
    `${rows === 1 ? '1 row names' : `${rows} rows name`} a row that is not waiting to be mended, and ${rows === 1 ? 'was read as a row of its own' : 'were read as rows of their own'}.`,
  kept: 'Not taken in: the log was kept as it was.',
} as const;

const range = (column: Column): string => {
  const unit = column.unit === null ? '' : units[column.unit].symbol;
  return `${column.min ?? ''} to ${column.max ?? ''}${unit === '' ? '' : ` ${unit}`}`;
};

/** Why a cell can't be used, and what would do. */
export const cell = {
  missing: (column: Column) => `${column.name} is missing. Fill it in.`,
  decimalComma: (column: Column) => `${column.name} has a decimal comma. Write it with a point.`,
  notNumber: (column: Column) => `${column.name} is not a number. Write a plain number such as 12.5.`,
  notWhole: (column: Column) => `${column.name} is not a whole number.`,
  outside: (column: Column) => `${column.name} lies outside ${range(column)}. Check the reading and its unit.`,
  notDate: (column: Column) => `${column.name} is not a day as yyyy-mm-dd.`,
  dateOutside: (column: Column) => `${column.name} lies outside ${FIRST_DAY} to ${LAST_DAY}.`,
  notMoment: (column: Column) => `${column.name} is not a day and time as yyyy-mm-dd hh:mm.`,
  notYesNo: (column: Column) => `${column.name} is neither yes nor no.`,
  notChoice: (column: Column) => `${column.name} must be one of ${listed(column.choices ?? [])}.`,
  notList: (column: Column) => `${column.name} is not a row of numbers joined by hyphens or spaces.`,
  tooLong: (column: Column) => `${column.name} is longer than ${column.max ?? 0} characters.`,
} as const;

/** Why a whole row can't be used. */
export const row = {
  tooManyColumns: 'The row has more cells than the header has columns. Look for a stray comma or quote.',
  openQuote: 'The row has a quote that is never closed. Close it, or remove it.',
  unreadable: 'The row can not be taken apart into cells. Look for stray quotes.',
  more: (count: string) => `(and ${count} more in this row)`,
  noCounterpart: (reference: Reference) =>
    `No row of ${reference.table} has this ${listed(reference.columns)}. Load that row, or mend the name.`,
  counterpartSetAside: (reference: Reference) =>
    `Its row in ${reference.table} was itself set aside. Mend that one and this will do.`,
  elementBeyond: 'The element is beyond the number of elements of the specification that the job was worked to.',
  noTestPoint: 'The specification that the job was worked to has no test point of this name.',
  noCheck: 'The specification that the job was worked to has no governor or accessory check of this name.',
  firingOrder: 'The firing order must name every element from 1 to the number of elements once.',
  closureAngles: 'The closure angles must be as many as the elements, start at 0 and rise to below 360.',
  bandReversed: 'The lower limit lies above the upper limit.',
  repeat: 'The same row stands in another place of the files, and counts there. Nothing is lost.',
  leftOut:
    'The log has another row with the same key, which was kept. To take this one after all, load it in a file of its own.',
  /** What became of a row that a mended one stands for; # is that row. */
  mended: {
    done: 'Mended by #.',
    faulty: 'Taken up by #, which still needs a hand.',
    again: 'Taken up by #, which was mended in its turn.',
    leftOut: 'Taken up by #, which was left out: the log has another row with the same key.',
  },
  replaced: 'A later row has the same key and took its place. If both are right, give them different keys.',
} as const;
