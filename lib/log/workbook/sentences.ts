/** What is said of a workbook that can't be read, and of what in it is read in a way of its own. */

/** A workbook that is refused as a whole; its message is the sentence for it. */
export class UnreadableWorkbook extends Error {}

const MEGA = 1_000_000;
const megabytes = (bytes: number): string => `${new Intl.NumberFormat('en-US').format(Math.ceil(bytes / MEGA))} MB`;

/** Names of sheets have 31 letters at most; a longer one is not carried along. */
const LONGEST_NAME = 100;
export const shortName = (name: string): string =>
  name.length <= LONGEST_NAME ? name : `${name.slice(0, LONGEST_NAME)}…`;

/** How many of a kind are named one by one. */
const TOLD = 5;
const some = (names: readonly string[]): string =>
  `${names.slice(0, TOLD).map(shortName).join(', ')}${names.length > TOLD ? ` and ${names.length - TOLD} more` : ''}`;

const SAVE_AS = 'Open it in a spreadsheet program and save it as .xlsx, or each sheet as CSV.';

export const workbookSays = {
  oldBinary: `This is a workbook of the old binary kind (.xls), which is not read. ${SAVE_AS}`,
  password: `This workbook is protected by a password, so nothing in it can be read. Open it, take the password off, and save it as .xlsx.`,
  binary: `This is a binary workbook (.xlsb), which is not read. ${SAVE_AS}`,
  openDocument: `This is an OpenDocument file (.ods), which is not read. ${SAVE_AS}`,
  noWorkbook: 'This is a zip archive and no workbook. Unpack it, and load the files in it.',
  cutShort: 'This workbook is cut short: its closing part is missing. Copy or save it again.',
  damaged: (part: string) => `This workbook is damaged: ${part} in it can't be read. Copy or save it again.`,
  lying: (part: string) =>
    `This workbook is damaged: ${part} in it unpacks to more than the workbook itself says. It was not unpacked further.`,
  tooLarge: (unpacked: number, most: number) =>
    `This workbook unpacks to ${megabytes(unpacked)}; at most ${megabytes(most)} are taken. Part it into several workbooks, or save its sheets as CSV.`,
  tooDense: (packed: number, unpacked: number, most: number) =>
    `This workbook would swell from ${megabytes(packed)} to ${megabytes(unpacked)}, more than ${most} times its size. No workbook of readings does; it was not unpacked.`,
  sheetTooLarge: (sheet: string, most: number) =>
    `The sheet ${sheet} holds more than ${megabytes(most)} of text. Part it into several workbooks, or save it as CSV.`,
  rowsAstray: (sheet: string) => `The sheet ${sheet} is damaged: its rows or cells are out of order. Save it again.`,
  nothing: (left: readonly string[]) =>
    `No sheet of this workbook holds a row${left.length === 0 ? '' : ` (${some(left)})`}. Fill in a sheet, or choose another file.`,

  left: (left: readonly string[]) => `Of this workbook was not read: ${some(left)}.`,
  hidden: 'The sheet is hidden in its workbook.',
  hiddenRows: (count: number) => (count === 1 ? 'One hidden row was read too.' : `${count} hidden rows were read too.`),
  merged: (places: readonly string[]) =>
    `Merged cells (${some(places)}): the first of them has the value, the others are empty.`,
  errors: (places: readonly string[]) => `Cells with an error (${some(places)}) were taken as that text.`,
  notCalculated: (places: readonly string[]) =>
    `Formulas that were never worked out (${some(places)}): open the workbook in a spreadsheet program and save it.`,
} as const;

/** Stands in a cell whose formula has no value in the workbook, so that its row is not taken for one without a reading. */
export const NOT_CALCULATED = '(formula without a value)';
