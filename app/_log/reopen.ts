import { sentences } from '../../lib/keep/sentences';
import type { KeptFile, KeptLoad } from '../../lib/keep/manifest';
import { fileHash, type Inspection, type LogFile } from '../../lib/log/inspect';
import { mappingSchema } from '../../lib/log/mapping/mapping';
import { asItIs, inspectPrepared, type PreparedFile } from '../../lib/log/prepared';
import type { Bench } from '../../lib/store/browser/bench';
import type { CameWith } from '../../lib/store/load';
import { demoLog } from './demoFiles';
import { keeper } from './keeper';

/** A kept file on its way back into the log. */
export interface Returning extends PreparedFile {
  readonly came: CameWith;
  /** What its bytes must be; null where they were checked already. */
  readonly hash: string | null;
}

/** Loads that can be taken in at one go, in order. */
export function goes(loads: readonly KeptLoad[]): readonly (readonly KeptLoad[])[] {
  const all: KeptLoad[][] = [];
  let open = false;
  for (const load of loads) {
    if (open && !load.alone) all.at(-1)?.push(load);
    else all.push([load]);
    open = !load.alone;
  }
  return all;
}

/** The files of a kept load, as they were first taken in. One that is damaged is refused, and the others go on. */
export async function keptFiles({ no, at, demo, files }: KeptLoad, bench: Bench): Promise<readonly Returning[]> {
  const came: CameWith = { load: no, at };
  const returning: Returning[] = demo ? (await demoFiles()).map((file) => ({ ...asItIs(file), came, hash: null })) : [];
  for (const file of files) returning.push(...(await keptFile(file, bench)).map((each) => ({ ...each, came })));
  return returning;
}

async function demoFiles(): Promise<readonly LogFile[]> {
  try {
    return await demoLog();
  } catch {
    keeper.notify(sentences.noDemo);
    return [];
  }
}

async function keptFile(kept: KeptFile, bench: Bench): Promise<Omit<Returning, 'came'>[]> {
  const { name, hash, mappings, sheets } = kept;
  const refuse = (reason: string): Omit<Returning, 'came'>[] => [
    { file: { name, blob: new Blob(), path: null }, refused: reason, note: null, hash: null },
  ];
  const blob = await keeper.bytes(kept);
  if (blob === null) return refuse(sentences.damagedFile(name));
  const plain = asItIs({ name, blob, path: null });
  if (mappings.length === 0 && sheets === undefined) return [{ ...plain, hash }];
  if ((await fileHash(blob)) !== hash) return refuse(sentences.damagedFile(name));
  const read = mappings.map((mapping) => mappingSchema.safeParse(mapping));
  const whole = read.flatMap((each) => (each.success ? [each.data] : []));
  if (whole.length < read.length) return refuse(sentences.unreadableMapping(name));
  const { files } = await bench.prepare(plain, whole);
  // A workbook also has the sheets that were not taken in then; they are no news now.
  const wanted = files.filter(({ file }) => sheets === undefined || sheets.includes(file.origin?.sheet ?? ''));
  return wanted.map((each) => ({ ...each, hash: null }));
}

/** Looks a returning file through: bytes that are not those that were kept are refused. */
export async function inspectKept(
  returning: Returning,
  inspect: (file: LogFile) => Promise<Inspection>,
): Promise<Inspection> {
  const found = await inspectPrepared(returning, inspect);
  const { file, refused, hash } = returning;
  if (hash === null || refused !== null) return found;
  const whole = found.ok ? found.hash === hash : (await fileHash(file.blob)) === hash;
  return whole ? found : { ok: false, reason: sentences.damagedFile(file.name) };
}
