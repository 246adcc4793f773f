import { readFile } from 'node:fs/promises';
import type { LogFile } from '../log/inspect';
import { fits, readMapping, signature, type Mapping } from '../log/mapping/mapping';
import { prepareFile, TOLD } from '../log/mapping/prepare';
import { asItIs, type PreparedFile } from '../log/prepared';
import { UsageError } from './arguments';

/** Files of a shop's own, brought to the log's tables by the mappings that were given. */

export interface NamedMapping {
  readonly path: string;
  readonly mapping: Mapping;
}

/** Reads the mappings; two for the same headers can't both be meant. */
export async function mappingsAt(paths: readonly string[]): Promise<NamedMapping[]> {
  const named: NamedMapping[] = [];
  for (const path of paths) {
    const text = await readFile(path, 'utf8').catch(() => {
      throw new UsageError(`There is no readable file ${path}.`);
    });
    const read = readMapping(text);
    if (!read.ok) throw new UsageError(`${path}: ${read.reason}`);
    const same = named.find(({ mapping }) => fits(mapping, read.mapping.headers));
    if (same !== undefined) throw new UsageError(`${same.path} and ${path} are both for the same headers. Give one.`);
    named.push({ path, mapping: read.mapping });
  }
  return named;
}

export interface Prepared {
  readonly files: readonly PreparedFile[];
  /** Mappings whose headers no file has. */
  readonly idle: readonly NamedMapping[];
}

/** Workbooks are taken apart and files whose headers are a mapping's converted; all others are taken as they are. */
export async function prepare(files: readonly LogFile[], mappings: readonly NamedMapping[]): Promise<Prepared> {
  const used = new Set<NamedMapping>();
  const prepared: PreparedFile[] = [];
  for (const file of files) {
    const made = await prepareFile(asItIs(file), mappings, ({ mapping }) => mapping);
    for (const named of made.used) used.add(named);
    prepared.push(...made.files);
  }
  return { files: prepared, idle: mappings.filter((named) => !used.has(named)) };
}

export const mappingSays = ({ path, mapping }: NamedMapping): string =>
  `${path}: No file has the headers of this mapping (${signature(mapping.headers).slice(0, TOLD).join(', ')}${mapping.headers.length > TOLD ? ', ...' : ''}).`;
