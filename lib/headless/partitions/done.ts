import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { ENGINE_VERSION } from '../../calc/layout';
import type { LogFile } from '../../log/inspect';
import { countsSchema } from '../counts';

/** The note beside a partition's results: out of what they were worked out, so that a second run can leave them. */

export const DONE = 'done.json';
/** Raised when what is written, or how, changes while the engine does not. */
const WRITING_VERSION = 1;

const input = z.object({ file: z.string(), bytes: z.int(), sha256: z.hash('sha256') });
export type Input = z.infer<typeof input>;

export const basisSchema = z.object({
  writing: z.int(),
  engine: z.int(),
  csv: z.boolean(),
  mappings: z.array(z.hash('sha256')),
  shared: z.array(input),
  own: z.array(input),
});
export type Basis = z.infer<typeof basisSchema>;

const doneSchema = z.object({
  partition: z.string(),
  basis: basisSchema,
  counts: countsSchema,
  /** What was said of its files. */
  remarks: z.array(z.string()),
  written: z.array(z.object({ name: z.string(), bytes: z.int() })),
});
export type Done = z.infer<typeof doneSchema>;

/** A file by its bytes: copied or touched it is the same, and changed it never is. */
export async function inputOf(file: LogFile): Promise<Input> {
  const hash = createHash('sha256');
  if (file.path === null) hash.update(new Uint8Array(await file.blob.arrayBuffer()));
  else for await (const piece of createReadStream(file.path)) hash.update(piece as Buffer);
  return { file: file.name, bytes: file.blob.size, sha256: hash.digest('hex') };
}

export const basisOf = (
  own: readonly Input[],
  shared: readonly Input[],
  options: { readonly csv: boolean; readonly mappings: readonly string[] },
): Basis => ({
  writing: WRITING_VERSION,
  engine: ENGINE_VERSION,
  csv: options.csv,
  mappings: [...options.mappings],
  shared: [...shared],
  own: [...own],
});

/** The note in a folder of results; null where there is none that can be read, or a file that it names is not whole. */
export async function doneIn(folder: string): Promise<Done | null> {
  const text = await readFile(join(folder, DONE), 'utf8').catch(() => null);
  if (text === null) return null;
  const read = doneSchema.safeParse(parsed(text));
  if (!read.success) return null;
  for (const { name, bytes } of read.data.written) {
    const size = await stat(join(folder, name)).then(
      (found) => found.size,
      () => -1,
    );
    if (size !== bytes) return null;
  }
  return read.data;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

export const doneText = (done: Done): string => `${JSON.stringify(doneSchema.parse(done), null, 1)}\n`;

/** Both went through the same schema, so their fields stand in the same order. */
export const sameBasis = (a: Basis, b: Basis): boolean => JSON.stringify(a) === JSON.stringify(basisSchema.parse(b));
