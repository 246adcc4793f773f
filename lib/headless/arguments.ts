import { stat } from 'node:fs/promises';
import { availableParallelism, totalmem } from 'node:os';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';

/** What the command was asked for. */

export const USAGE = `Usage: npm run recalc -- --in DIR --out DIR [--mapping FILE]... [--by-partition ...]
  --in DIR        folder with the log's tables, CSV, Parquet or XLSX (folders in it are looked through too)
  --out DIR       folder for the result tables, as CSV and Parquet; made where it does not exist
  --mapping FILE  how sheets with headers of their own become tables of the log (docs/mapping.md); may be given several times
  --help          shows this

For logs too large to be worked out at once (docs/scale.md):
  --by-partition  each folder of jobs by itself, into a folder of its own in --out, as Parquet; folders are named
                  KEY=VALUE (jobs/branch=north/year=2019/...) or as you like (north/2019/...). Partitions whose results are
                  there already, from the same files, are left; so a run that was stopped goes on where it was
  --only NAME     only the partitions that lie in these folders (branch=north/year=2019); may be given several times
  --processes N   partitions at once, each in a process of its own; left out: the machine's cores less one
  --memory SIZE   memory that the database of one process may take, such as 4GB or 800MB; what does not fit goes to disk
                  beside --out. Left out: six tenths of the machine's, shared out over the processes
  --csv           writes CSV as well
  --list          names the partitions, a line each, and does nothing

Exit status: 0 done; 1 nothing could be read, or a failure, or a partition failed; 2 the call was wrong;
3 by partition: done, but rows of one job stand in several partitions`;

/** The call was wrong; its message says how. */
export class UsageError extends Error {}

export interface Asked {
  readonly from: string;
  readonly to: string;
  readonly mappings: readonly string[];
  /** Null where everything is worked out at once. */
  readonly byPartition: ByPartition | null;
}

export interface ByPartition {
  readonly only: readonly string[];
  readonly processes: number;
  /** Of each process's database. */
  readonly threads: number;
  readonly memoryMb: number;
  readonly csv: boolean;
  readonly list: boolean;
}

/** Null where only help is asked for. */
export async function asked(argv: readonly string[]): Promise<Asked | null> {
  const given = parse(argv);
  if (given.help === true) return null;
  const { in: from, out: to = given.list === true ? '-' : undefined } = given;
  if (from === undefined || to === undefined) throw new UsageError('--in and --out are both needed.');
  if (from.trim() === '') throw new UsageError('--in names no folder.');
  if (to.trim() === '') throw new UsageError('--out names no folder.');
  if ((await kindOf(from)) !== 'folder') throw new UsageError(`There is no folder ${from}.`);
  const barrier = given.list === true ? null : await fileInTheWay(to);
  if (barrier !== null) {
    throw new UsageError(
      barrier === resolve(to)
        ? `--out must be a folder, and ${to} is a file. Name another place.`
        : `The folder ${to} can't be made, since ${barrier} is a file. Name another place.`,
    );
  }
  return { from, to, mappings: given.mapping ?? [], byPartition: partitionsAsked(given) };
}

const OF_PARTITIONS = ['only', 'processes', 'memory', 'csv', 'list'] as const;

function partitionsAsked(given: Given): ByPartition | null {
  if (given['by-partition'] !== true) {
    const stray = OF_PARTITIONS.find((name) => given[name] !== undefined);
    if (stray !== undefined) throw new UsageError(`--${stray} goes with --by-partition.`);
    return null;
  }
  const cores = availableParallelism();
  const processes = given.processes === undefined ? Math.max(1, cores - 1) : wholeNumber(given.processes);
  return {
    only: given.only ?? [],
    processes,
    threads: Math.max(1, Math.floor(cores / processes)),
    memoryMb:
      given.memory === undefined
        ? Math.max(LEAST_MB, Math.floor((totalmem() * MEMORY_SHARE) / BYTES_PER_MB / processes))
        : megabytes(given.memory),
    csv: given.csv ?? false,
    list: given.list ?? false,
  };
}

/** The engine's own arrays, and other programs, need the rest. */
const MEMORY_SHARE = 0.6;
const BYTES_PER_MB = 1e6;
const MB_PER_GB = 1000;
const LEAST_MB = 100;
const MOST_PROCESSES = 1000;

function wholeNumber(text: string): number {
  const value = Number(text);
  if (Number.isInteger(value) && value >= 1 && value <= MOST_PROCESSES) return value;
  throw new UsageError(`--processes must be a whole number from 1 to ${MOST_PROCESSES}, and ${text} is not.`);
}

function megabytes(text: string): number {
  const [, amount, unit] = /^(\d+(?:\.\d+)?)\s*(MB|GB)$/i.exec(text.trim()) ?? [];
  const value = Math.floor(Number(amount) * (unit?.toUpperCase() === 'GB' ? MB_PER_GB : 1));
  if (value >= LEAST_MB) return value;
  throw new UsageError(`--memory must be a size of ${LEAST_MB}MB or more, such as 4GB, and ${text} is not.`);
}

type Given = ReturnType<typeof parse>;

function parse(argv: readonly string[]) {
  try {
    return parseArgs({
      args: [...argv],
      options: {
        in: { type: 'string' },
        out: { type: 'string' },
        mapping: { type: 'string', multiple: true },
        'by-partition': { type: 'boolean' },
        only: { type: 'string', multiple: true },
        processes: { type: 'string' },
        memory: { type: 'string' },
        csv: { type: 'boolean' },
        list: { type: 'boolean' },
        help: { type: 'boolean' },
      },
    }).values;
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
}

const kindOf = (path: string): Promise<'folder' | 'other' | 'nothing'> =>
  stat(path).then(
    (found) => (found.isDirectory() ? 'folder' : 'other'),
    () => 'nothing',
  );

/** The nearest thing that stands on the way to a folder and is none; null where the folder is there or can be made. */
async function fileInTheWay(path: string): Promise<string | null> {
  for (let at = resolve(path); ; at = dirname(at)) {
    const kind = await kindOf(at);
    if (kind === 'other') return at;
    if (kind === 'folder' || dirname(at) === at) return null;
  }
}
