import { strToU8, zipSync } from 'fflate';
import { csvParseRows } from 'd3-dsv';

/** Writes small workbooks as spreadsheet programs do (ECMA-376): the way back of what lib/log/workbook reads. */

/** A cell as XML, in a place such as B2. */
export type Cell = (place: string) => string;
export interface Sheet {
  readonly name: string;
  readonly rows: readonly (readonly Cell[])[];
  readonly state?: 'hidden' | 'veryHidden';
  readonly merged?: readonly string[];
  readonly hiddenRows?: readonly number[];
  readonly chart?: boolean;
}
export interface Book {
  readonly sheets: readonly Sheet[];
  readonly since1904?: boolean;
  /** What each of the texts that cells name by number is, as XML. */
  readonly shared?: readonly string[];
}

const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');

/** Formats of the cells below, by style number; those from 164 on are written out. */
const formats = [0, 14, 22, 20, 46, 164, 165, 166, 2] as const;
export const style = {
  plain: 0,
  day: 1,
  moment: 2,
  time: 3,
  length: 4,
  own: 5,
  red: 6,
  quoted: 7,
  figures: 8,
} as const;
const written = { 164: 'dd\\.mm\\.yyyy\\ hh:mm', 165: '[Red]0.00', 166: '0.00" days"' } as const;

export const blank: Cell = () => '';
export const text = (value: string): Cell =>
  value === ''
    ? blank
    : (place) => `<c r="${place}" t="inlineStr"><is><t xml:space="preserve">${escaped(value)}</t></is></c>`;
export const shared =
  (index: number): Cell =>
  (place) =>
    `<c r="${place}" t="s"><v>${index}</v></c>`;
export const number =
  (value: number | string, styled: number = style.plain): Cell =>
  (place) =>
    `<c r="${place}" s="${styled}"><v>${value}</v></c>`;
export const typed =
  (type: string, value: string): Cell =>
  (place) =>
    `<c r="${place}" t="${type}"><v>${escaped(value)}</v></c>`;
export const formula =
  (says: string, value: string | null, type = 'str'): Cell =>
  (place) =>
    `<c r="${place}"${value === null ? '' : ` t="${type}"`}><f>${escaped(says)}</f>${value === null ? '' : `<v>${escaped(value)}</v>`}</c>`;

const FIRST_LETTER = 65;
const column = (index: number): string =>
  index < 26 ? String.fromCharCode(FIRST_LETTER + index) : `${column(Math.floor(index / 26) - 1)}${column(index % 26)}`;

export function sheetXml({ rows, merged = [], hiddenRows = [] }: Sheet): string {
  const lines = rows.flatMap((cells, i) =>
    cells.length === 0
      ? []
      : [
          `<row r="${i + 1}"${hiddenRows.includes(i + 1) ? ' hidden="1"' : ''}>${cells.map((cell, c) => cell(`${column(c)}${i + 1}`)).join('')}</row>`,
        ],
  );
  const ranges = merged.map((ref) => `<mergeCell ref="${ref}"/>`).join('');
  return `<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>${lines.join('')}</sheetData>${ranges === '' ? '' : `<mergeCells>${ranges}</mergeCells>`}</worksheet>`;
}

const RELATIONS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';

/** The parts of a workbook by name, before they are zipped. */
export function partsOfBook({ sheets, since1904 = false, shared: texts = [] }: Book): Record<string, string> {
  const kinds = sheets.map(({ chart }) => (chart === true ? 'chartsheet' : 'worksheet'));
  const relations = (list: readonly string[]): string =>
    `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">${list.join('')}</Relationships>`;
  const relation = (id: string, kind: string, target: string): string =>
    `<Relationship Id="${id}" Type="${RELATIONS}/${kind}" Target="${target}"/>`;
  return {
    '[Content_Types].xml': '<Types/>',
    '_rels/.rels': relations([relation('rId1', 'officeDocument', 'xl/workbook.xml')]),
    'xl/workbook.xml': `<workbook xmlns:r="${RELATIONS}">${since1904 ? '<workbookPr date1904="1"/>' : ''}<sheets>${sheets
      .map(
        ({ name, state }, i) =>
          `<sheet name="${escaped(name).replaceAll('"', '&quot;')}" sheetId="${i + 1}"${state === undefined ? '' : ` state="${state}"`} r:id="rId${i + 1}"/>`,
      )
      .join('')}</sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': relations([
      ...kinds.map((kind, i) => relation(`rId${i + 1}`, kind, `${kind}s/sheet${i + 1}.xml`)),
      relation('rIdS', 'styles', '/xl/styles.xml'),
      relation('rIdT', 'sharedStrings', 'sharedStrings.xml'),
    ]),
    'xl/styles.xml': `<styleSheet><numFmts>${Object.entries(written)
      .map(([id, code]) => `<numFmt numFmtId="${id}" formatCode="${code.replaceAll('"', '&quot;')}"/>`)
      .join(
        '',
      )}</numFmts><cellStyleXfs><xf numFmtId="14"/></cellStyleXfs><cellXfs>${formats.map((id) => `<xf numFmtId="${id}"/>`).join('')}</cellXfs></styleSheet>`,
    'xl/sharedStrings.xml': `<sst>${texts.map((item) => `<si>${item}</si>`).join('')}</sst>`,
    ...Object.fromEntries(
      sheets.map((sheet, i) => [
        `xl/${kinds[i] ?? ''}s/sheet${i + 1}.xml`,
        sheet.chart === true ? '<chartsheet/>' : sheetXml(sheet),
      ]),
    ),
  };
}

export const zipped = (parts: Readonly<Record<string, string>>): Uint8Array<ArrayBuffer> =>
  new Uint8Array(zipSync(Object.fromEntries(Object.entries(parts).map(([name, content]) => [name, strToU8(content)]))));
export const bookBytes = (book: Book): Uint8Array<ArrayBuffer> => zipped(partsOfBook(book));

const PLAIN_NUMBER = /^-?(0|[1-9]\d*)(\.\d+)?$/;
const DAY = /^(\d{4})-(\d{2})-(\d{2})$/;
const DAY_MS = 86_400_000;

/** The number that stands for a day in the system that counts from 1900 (from March of that year on). */
export const serialOf = (iso: string): number => (Date.parse(`${iso}T00:00:00Z`) - Date.UTC(1899, 11, 30)) / DAY_MS;

/** A sheet out of a comma separated text: numbers as numbers, days as days, all else as text. */
export const sheetOfCsv = (name: string, csv: string): Sheet => ({
  name,
  rows: csvParseRows(csv).map((row) =>
    row.map((cell) =>
      DAY.test(cell) ? number(serialOf(cell), style.day) : PLAIN_NUMBER.test(cell) ? number(cell) : text(cell),
    ),
  ),
});
