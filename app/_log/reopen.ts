import { sentences } from '../../lib/keep/sentences';
import type { KeptFile, KeptLoad } from '../../lib/keep/manifest';
import { fileHash, type Inspection, type LogFile } from '../../lib/log/inspect';
import { mappingSchema } from '../../lib/log/mapping/mapping';
import type { PreparedFile } from '../../lib/log/mapping/prepare';
import type { CameWith } from '../../lib/store/load';
import { demoLog } from './demoFiles';
import { keeper } from './keeper';
import { prepare } from './mappings';

/** A kept file on its way back into the log. */
export interface Returning extends PreparedFile {
  readonly came: CameWith;
  /** What its bytes must be; null where they were checked already. */
  readonly hash: string | null;
}

/** The files of the kept loads, as they were first taken in. One that is damaged is refused, and the others go on. */
export async function keptFiles(loads: readonly KeptLoad[]): Promise<readonly Returning[]> {
  const returning: Returning[] = [];
  for (const { no, at, demo, files } of loads) {
    const came: CameWith = { load: no, at };
    if (demo)
      returning.push(...(await demoFiles()).map((file) => ({ file, refused: null, note: null, came, hash: null })));
    for (const file of files) returning.push(...(await keptFile(file)).map((each) => ({ ...each, came })));
  }
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

async function keptFile({ name, hash, mappings, ...rest }: KeptFile): Promise<Omit<Returning, 'came'>[]> {
  const refuse = (reason: string): Omit<Returning, 'came'>[] => [
    { file: { name, blob: new Blob(), path: null }, refused: reason, note: null, hash: null },
  ];
  const blob = await keeper.bytes({ name, hash, mappings, ...rest });
  if (blob === null) return refuse(sentences.damagedFile(name));
  const file: LogFile = { name, blob, path: null };
  if (mappings.length === 0) return [{ file, refused: null, note: null, hash }];
  if ((await fileHash(blob)) !== hash) return refuse(sentences.damagedFile(name));
  const read = mappings.map((mapping) => mappingSchema.safeParse(mapping));
  const whole = read.flatMap((each) => (each.success ? [each.data] : []));
  if (whole.length < read.length) return refuse(sentences.unreadableMapping(name));
  return (await prepare([file], whole)).map((each) => ({ ...each, hash: null }));
}

/** Looks a returning file through: bytes that are not those that were kept are refused. */
export async function inspectKept(
  { file, refused, hash }: Returning,
  inspect: (file: LogFile) => Promise<Inspection>,
): Promise<Inspection> {
  if (refused !== null) return { ok: false, reason: refused };
  const found = await inspect(file);
  if (hash === null) return found;
  const whole = found.ok ? found.hash === hash : (await fileHash(file.blob)) === hash;
  return whole ? found : { ok: false, reason: sentences.damagedFile(file.name) };
}
