import { openAsBlob } from 'node:fs';
import { mkdir, rename, rm, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { z } from 'zod';
import { NativeDatabase } from '../../store/native/database';
import { countsSchema, type Counts } from '../counts';
import { countsOf, openPrepared, told, type HeadlessLog } from '../log';
import { mappingsAt, prepare } from '../mapped';
import { kinds, listings, results, writeTable, type Written } from '../write';
import { basisSchema, DONE, doneText, type Basis } from './done';

/** One partition from its files to its results, in a process of its own. */

export const taskSchema = z.object({
  partition: z.string(),
  from: z.string(),
  /** All its files and the shared sheets, in the order in which one run over everything would take them. */
  files: z.array(z.string()),
  mappings: z.array(z.string()),
  basis: basisSchema,
  threads: z.int().positive(),
  memoryMb: z.int().positive(),
  /** A folder of this run alone, which becomes `to` when all is written. */
  workshop: z.string(),
  to: z.string(),
  at: z.string(),
});
export type Task = z.infer<typeof taskSchema>;

export const outcomeSchema = z.discriminatedUnion('ok', [
  z.object({
    ok: z.literal(true),
    counts: countsSchema,
    remarks: z.array(z.string()),
    /** The most memory that the process ever had. */
    peakMb: z.number(),
  }),
  z.object({ ok: z.literal(false), reason: z.string() }),
]);
export type Outcome = z.infer<typeof outcomeSchema>;

/** Works a partition out and puts its results in place; whatever goes wrong is answered, and then nothing was put there. */
export async function workOut(task: Task): Promise<Outcome> {
  const spillTo = join(task.workshop, 'spill');
  let db: NativeDatabase | null = null;
  try {
    await mkdir(spillTo, { recursive: true });
    db = await NativeDatabase.open(task.threads, { memoryMb: task.memoryMb, spillTo });
    return await workIn(db, task);
  } catch (error) {
    return { ok: false, reason: reasonOf(error, task) };
  } finally {
    await db?.close();
    await rm(task.workshop, { recursive: true, force: true, maxRetries: 3 }).catch(() => undefined);
  }
}

async function workIn(db: NativeDatabase, task: Task): Promise<Outcome> {
  const made = join(task.workshop, 'results');
  await mkdir(made);
  const files = await Promise.all(
    task.files.map(async (name) => {
      const path = join(task.from, name);
      return { name, blob: await openAsBlob(path), path };
    }),
  );
  const { files: prepared } = await prepare(files, await mappingsAt(task.mappings));
  const log = await openPrepared(prepared, task.at, db);
  const asTheyLie = prepared.filter(({ file }) => file.path !== null).map(({ file }) => file.name);
  const changed = await changedFile(log, task.basis, asTheyLie);
  if (changed !== null) return { ok: false, reason: `${changed} changed while it was read. Run it again.` };
  const shared = new Set(task.basis.shared.map(({ file }) => file));
  const own = log.files.filter(({ file }) => !shared.has(file));
  const found = { counts: await countsOf(log, own), remarks: told(own) };
  await write(db, task, made, found);
  await putInPlace(made, task.to, join(task.workshop, 'earlier'));
  return { ok: true, ...found, peakMb: Math.round(process.resourceUsage().maxRSS / KB_PER_MB) };
}

const KB_PER_MB = 1000;

function reasonOf(error: unknown, { memoryMb }: Task): string {
  const message = error instanceof Error ? error.message : String(error);
  if (!/out of memory/i.test(message)) return message.split('\n')[0] ?? message;
  return `it does not fit into ${memoryMb} MB of memory. Give more with --memory (and fewer --processes), or part it into smaller folders.`;
}

/**
 * A file that is no longer what the note of the run will say it was. Sheets that were mapped are not asked: they are taken in as
 * the tables they were brought to, which have bytes of their own.
 */
async function changedFile(
  { db }: HeadlessLog,
  { own, shared }: Basis,
  asTheyLie: readonly string[],
): Promise<string | null> {
  const known = new Map([...own, ...shared].map((input) => [input.file, input.sha256]));
  const taken = await db.rows('select file, hash from held_sources');
  const hashes = new Map(taken.map((row) => [String(row.file), String(row.hash)]));
  return asTheyLie.find((file) => hashes.has(file) && hashes.get(file) !== known.get(file)) ?? null;
}

async function write(
  db: NativeDatabase,
  { partition, basis }: Task,
  to: string,
  { counts, remarks }: { readonly counts: Counts; readonly remarks: string[] },
): Promise<void> {
  await db.run('create temp table shared_files (file varchar)');
  for (const { file } of basis.shared) await db.run('insert into shared_files values ($1)', [file]);
  const written: Written[] = [];
  for (const table of [...results, ...listings('file not in (select file from shared_files)')]) {
    for (const kind of kinds) {
      if (kind === 'parquet' || basis.csv) written.push(await writeTable(db, table, kind, to));
    }
  }
  await writeFile(join(to, DONE), doneText({ partition, basis, counts, remarks, written }));
}

/** Folders are renamed whole, so that at no time half a partition stands in the output. */
async function putInPlace(made: string, to: string, earlier: string): Promise<void> {
  await mkdir(dirname(to), { recursive: true });
  // A process that outlived its killed run may have put the same results there in between.
  for (let place = 0; ; place += 1) {
    await rename(to, `${earlier}-${place}`).catch(unless('ENOENT'));
    try {
      await rename(made, to);
      return;
    } catch (error) {
      if (place === MOST_TRIES) throw error;
      unless('ENOTEMPTY', 'EEXIST')(error);
    }
  }
}

const MOST_TRIES = 3;

const unless =
  (...codes: readonly string[]) =>
  (error: unknown): void => {
    if (!(error instanceof Error && 'code' in error && codes.includes(String(error.code)))) throw error;
  };
