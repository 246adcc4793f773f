import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { z } from 'zod';
import { notesSchema, type LogNote } from './notes';
import { quotesSchema, type KeptQuote } from './quotes';

/** The list of what is kept: loads in the order they were made, the files of each, and the notes and quotes written beside the log. */

const hash = z.string().regex(/^[0-9a-f]{64}$/);
/** A moment that there is: the database would stop at a month 13. */
const LOCAL = z.iso.datetime({ local: true });
const moment = z
  .string()
  .regex(/^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d$/)
  .refine((at) => LOCAL.safeParse(at.replace(' ', 'T')).success);
/** The database numbers loads in 32 bits. */
const MOST_LOADS = 1_000_000_000;

export const keptFileSchema = z.object({
  name: z.string().min(1).max(1000),
  size: z.int().min(0),
  /** SHA-256 of its bytes, which it is stored under. */
  hash,
  /** The mappings that read it, empty for a file of the log's own tables. They are checked when the file is opened, so that
   * one that a later version can't use costs its file and not the list. */
  mappings: z.array(z.unknown()).readonly(),
  /** Of a workbook, the sheets that were taken in. */
  sheets: z.array(z.string()).readonly().optional(),
});
export type KeptFile = z.infer<typeof keptFileSchema>;

const load = z.object({
  no: z.int().min(1).max(MOST_LOADS),
  /** When it was made, local time. */
  at: moment,
  /** The demo log, whose files every copy of the pages carries along. */
  demo: z.boolean(),
  /** Rows whose keys stood in the log with another content were left out. */
  left_out: z.boolean().default(false),
  /** What became of its rows goes by the log as it then was, so that it is opened again by itself: rows were left out or mended. */
  alone: z.boolean().default(false),
  files: z.array(keptFileSchema),
});
export type KeptLoad = z.infer<typeof load>;

export const loadsSchema = z.array(load).refine((loads) => loads.every(({ no }, i) => no > (loads[i - 1]?.no ?? 0)), {
  message: 'loads are not in order',
});

const listSchema = z.object({
  shimbook_kept: z.literal(1),
  loads: loadsSchema,
  notes: notesSchema.default([]),
  quotes: quotesSchema.default([]),
});

export interface KeptList {
  readonly loads: readonly KeptLoad[];
  readonly notes: readonly LogNote[];
  readonly quotes: readonly KeptQuote[];
}

const digest = (text: string): string => bytesToHex(sha256(utf8ToBytes(text)));

/** The list as it is written: its own hash on the first line, so that half a list is known for what it is. */
export function writeList({ loads, notes, quotes }: KeptList): string {
  const text = JSON.stringify({ shimbook_kept: 1, loads, notes, quotes });
  return `${digest(text)}\n${text}`;
}

/** What a written list holds; null where it is not whole. One of an earlier version has no notes or quotes. */
export function readList(written: string): KeptList | null {
  const cut = written.indexOf('\n');
  const text = written.slice(cut + 1);
  if (cut < 0 || written.slice(0, cut) !== digest(text)) return null;
  try {
    return listSchema.safeParse(JSON.parse(text)).data ?? null;
  } catch {
    return null;
  }
}
