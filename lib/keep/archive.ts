import { z } from 'zod';
import { fileHash } from '../log/inspect';
import type { KeptLog, NewFile } from './kept';
import { loadsSchema, keptFileSchema, type KeptFile, type KeptLoad } from './manifest';
import { notesSchema, type LogNote } from './notes';
import { quotesSchema, type KeptQuote } from './quotes';
import { sentences } from './sentences';
import { crc32, readZip, writeZip, ZipFault, type ZipFile } from './zip';

/**
 * The whole kept log as one archive: `manifest.json` (the loads, each file's name, size, SHA-256 and mapping, the notes, the quotes,
 * and the mappings kept in the browser) and the source files byte for byte in `files/`.
 */

const MANIFEST = 'manifest.json';

const manifestSchema = z.object({
  shimbook_archive: z.literal(1),
  loads: loadsSchema,
  /** Where the bytes of each hash lie in the archive. */
  paths: z.record(keptFileSchema.shape.hash, z.string()),
  mappings: z.array(z.unknown()),
  /** Written beside the log; an archive of an earlier version has none. */
  notes: notesSchema.default([]),
  quotes: quotesSchema.default([]),
});

/** Names of files as any system takes them. */
const safeName = (name: string): string => name.replace(/[^\p{L}\p{N} ._()-]/gu, '_').slice(-100);

export type TakenOut = { readonly ok: true; readonly archive: Blob } | { readonly ok: false; readonly reason: string };

/** The archive of all that is kept. A kept file that is damaged is named, and nothing is taken out. */
export async function takeOut(kept: KeptLog, mappings: readonly unknown[]): Promise<TakenOut> {
  const files = new Map(kept.loads.flatMap((load) => load.files).map((file) => [file.hash, file]));
  const packed: ZipFile[] = [];
  const paths: Record<string, string> = {};
  for (const file of files.values()) {
    const blob = await kept.bytes(file);
    if (blob === null || (await fileHash(blob)) !== file.hash)
      return { ok: false, reason: sentences.damagedFile(file.name) };
    const path = `files/${String(packed.length + 1).padStart(4, '0')} ${safeName(file.name)}`;
    paths[file.hash] = path;
    packed.push({ name: path, blob });
  }
  const manifest = { shimbook_archive: 1, loads: kept.loads, notes: kept.notes, quotes: kept.quotes, paths, mappings };
  const text = new Blob([`${JSON.stringify(manifest, null, 2)}\n`], { type: 'application/json' });
  return { ok: true, archive: await writeZip([{ name: MANIFEST, blob: text }, ...packed]) };
}

export interface OpenedArchive {
  readonly loads: readonly KeptLoad[];
  readonly files: readonly NewFile[];
  readonly notes: readonly LogNote[];
  readonly quotes: readonly KeptQuote[];
  readonly mappings: readonly unknown[];
}

export type Checked =
  { readonly ok: true; readonly archive: OpenedArchive } | { readonly ok: false; readonly reason: string };

const refuse = (reason: string): Checked => ({ ok: false, reason });

/** Longer than the list of any log. */
const MOST_MANIFEST_BYTES = 1 << 26;

/** Looks an archive through, every byte of it, before anything is put in place of what is kept. */
export async function checkArchive(archive: Blob): Promise<Checked> {
  try {
    const entries = new Map((await readZip(archive)).map((entry) => [entry.name, entry]));
    const listed = entries.get(MANIFEST);
    if (listed === undefined || listed.size > MOST_MANIFEST_BYTES) {
      return refuse('This archive was not taken out of Shimbook: it holds no list of a log.');
    }
    const list = await listed.open();
    const manifest = manifestSchema.safeParse(jsonOf(await list.text()));
    if (!manifest.success || (await crc32(list)) !== listed.crc)
      return refuse("The archive's list of files is damaged, or of a later version.");
    const { loads, notes, quotes, paths, mappings } = manifest.data;
    const files: NewFile[] = [];
    for (const file of new Map(loads.flatMap((load) => load.files).map((each) => [each.hash, each])).values()) {
      const entry = entries.get(paths[file.hash] ?? '');
      if (entry === undefined) return refuse(`${file.name} is missing from the archive.`);
      // Compared before it is unpacked: what an archive says of itself bounds what comes out of it.
      const blob = entry.size === file.size ? await entry.open() : null;
      if (blob === null || !(await isWhole(blob, file)))
        return refuse(`${file.name} is damaged in the archive: its bytes are not those that were taken out.`);
      files.push({ name: file.name, blob, hash: file.hash, mappings: file.mappings });
    }
    return { ok: true, archive: { loads, files, notes, quotes, mappings } };
  } catch (error) {
    if (error instanceof ZipFault) return refuse(error.message);
    throw error;
  }
}

const isWhole = async (blob: Blob, file: KeptFile): Promise<boolean> =>
  blob.size === file.size && (await fileHash(blob)) === file.hash;

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
