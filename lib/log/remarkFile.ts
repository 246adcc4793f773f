import { csvFormatRows } from 'd3-dsv';
import { z } from 'zod';
import { guarded } from './mend';
import { MOST_AUTHOR_LETTERS, MOST_REMARK_LETTERS, remarks } from './tables/remarks';

/** Remarks as files: one that a person writes on a page becomes a small file of the log like any other. */

const RULE = `A remark has a day and a text of up to ${MOST_REMARK_LETTERS} letters.`;
export const remarkSays = {
  rule: RULE,
  formula: 'Begin with a letter or a figure: a spreadsheet would run what begins with =, +, - or @.',
} as const;

/** Ends of lines and tabs are part of a text; other control characters are part of none. */
const CONTROL = /(?![\t\n])\p{Cc}/u;

/** An apostrophe that was there already does no harm, and is left so that the text reads back as it is. */
const harmless = (cell: string): string => (cell.startsWith("'") ? cell : guarded(cell));

/** A text as typed, with no room round it. */
const typed = (most: number) =>
  z
    .string()
    .transform((text) => text.replaceAll('\r\n', '\n').trim())
    .pipe(z.string().min(1).max(most))
    .refine((text) => !CONTROL.test(text), RULE)
    .refine((text) => harmless(text) === text, remarkSays.formula);

/** What a person typed, as a row of the log can hold it. */
export const newRemarkSchema = z.object({
  job_id: remarks.schema.shape.job_id,
  remark_id: remarks.schema.shape.remark_id,
  remarked_on: remarks.schema.shape.remarked_on,
  remark: typed(MOST_REMARK_LETTERS),
  author: z.union([
    z
      .string()
      .regex(/^\s*$/)
      .transform(() => null),
    typed(MOST_AUTHOR_LETTERS),
  ]),
});
export type NewRemark = z.infer<typeof newRemarkSchema>;

export interface RemarkRow extends NewRemark {
  readonly withdrawn?: boolean;
}

type Cells = Readonly<Record<string, string>>;
const cellsOf = ({ withdrawn, author, ...row }: RemarkRow): Cells => ({
  ...row,
  author: author ?? '',
  withdrawn: withdrawn === true ? 'yes' : '',
});

const csv = (rows: readonly Cells[]): string => {
  const names = remarks.columns.map(({ name }) => name);
  return `${csvFormatRows([names, ...rows.map((row) => names.map((name) => row[name] ?? ''))])}\n`;
};

const FILE_LETTERS = /[^\p{L}\p{N}._-]+/gu;

/** The file of one remark, or of its being taken back, which a later row with its number says. */
export const remarkFile = (row: RemarkRow): { readonly name: string; readonly text: string } => ({
  name: `remark-${row.remark_id.replace(FILE_LETTERS, '-')}${row.withdrawn === true ? '-taken-back' : ''}.csv`,
  text: csv([cellsOf(row)]),
});

/** Many remarks in one file to take away: it reads as the log's own, and a spreadsheet runs nothing of it. */
export const remarksCsv = (rows: readonly RemarkRow[]): string =>
  csv(
    rows.map((row) => Object.fromEntries(Object.entries(cellsOf(row)).map(([name, cell]) => [name, harmless(cell)]))),
  );
