import { z } from 'zod';
import { shopTables } from './rows';

/** What was planted in the log, so that a test can ask whether it is found. */
export const truthKinds = [
  'thick_shim_batch',
  'bench_reads_high',
  'element_closes_late',
  'wrong_sign_of_shims',
  'superseded_revision',
  'gauge_past_due',
  'worn_barrels',
  'arithmetic_slip',
  'test_point_missing',
] as const;

/** The reasons that rows are set aside for, by the names they have in lib/log/sentences. */
export const badKinds = [
  'missing',
  'decimalComma',
  'notNumber',
  'notWhole',
  'outside',
  'notDate',
  'dateOutside',
  'notMoment',
  'notYesNo',
  'notChoice',
  'noCounterpart',
  'counterpartSetAside',
  'elementBeyond',
  'noTestPoint',
  'firingOrder',
  'closureAngles',
  'bandReversed',
  'repeat',
  'replaced',
] as const;
export type BadKind = (typeof badKinds)[number];

export const truth = z.strictObject({
  kind: z.enum(truthKinds),
  /** The truth in a sentence. */
  says: z.string(),
  /** Whom or what it clings to, by column names of the log. */
  subject: z.record(z.string(), z.union([z.string(), z.number()])),
  since: z.iso.date().nullable(),
  until: z.iso.date().nullable(),
  size: z.strictObject({ value: z.number(), unit: z.string() }).nullable(),
  /** The jobs that it touched, in order. */
  job_ids: z.array(z.string()),
});
export type Truth = z.infer<typeof truth>;

export const badRow = z.strictObject({
  folder: z.enum(['log', 'csv', 'year']),
  table: z.enum(shopTables),
  /** Counted from 1 over all files of the table, the header not counted. */
  row: z.int().positive(),
  kind: z.enum(badKinds),
  column: z.string().nullable(),
  value: z.union([z.string(), z.number()]).nullable(),
});
export type BadRow = z.infer<typeof badRow>;

export const truthsFile = z.strictObject({
  jobs: z.int(),
  seed: z.int(),
  /** Rows written, by folder and table, bad ones included. */
  rows: z.record(z.string(), z.record(z.string(), z.int())),
  truths: z.array(truth),
  bad_rows: z.array(badRow),
});
export type TruthsFile = z.infer<typeof truthsFile>;

const WIDTH = 120;

/** The file's text, laid out as the formatter would: a list of names stands on one line where it fits. */
export function textOfTruths(truths: TruthsFile): string {
  const tall = JSON.stringify(truths, null, 2);
  const text = tall.replace(/^( *"job_ids": )\[\n([^\]]*)\n *\]/gm, (whole, key: string, names: string) => {
    const flat = `${key}[${names.replace(/\n */g, ' ').trim()}]`;
    return flat.length <= WIDTH ? flat : whole;
  });
  return `${text}\n`;
}
