import { stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';

/** What the command was asked for. */

export const USAGE = `Usage: npm run recalc -- --in DIR --out DIR [--mapping FILE]...
  --in DIR        folder with the log's tables, CSV, Parquet or XLSX (folders in it are looked through too)
  --out DIR       folder for the result tables, as CSV and Parquet; made where it does not exist
  --mapping FILE  how sheets with headers of their own become tables of the log (docs/mapping.md); may be given several times
  --help          shows this`;

/** The call was wrong; its message says how. */
export class UsageError extends Error {}

export interface Asked {
  readonly from: string;
  readonly to: string;
  readonly mappings: readonly string[];
}

/** Null where only help is asked for. */
export async function asked(argv: readonly string[]): Promise<Asked | null> {
  const given = parse(argv);
  if (given.help) return null;
  const { in: from, out: to } = given;
  if (from === undefined || to === undefined) throw new UsageError('--in and --out are both needed.');
  if (from.trim() === '') throw new UsageError('--in names no folder.');
  if (to.trim() === '') throw new UsageError('--out names no folder.');
  if ((await kindOf(from)) !== 'folder') throw new UsageError(`There is no folder ${from}.`);
  const barrier = await fileInTheWay(to);
  if (barrier !== null) {
    throw new UsageError(
      barrier === resolve(to)
        ? `--out must be a folder, and ${to} is a file. Name another place.`
        : `The folder ${to} can't be made, since ${barrier} is a file. Name another place.`,
    );
  }
  return { from, to, mappings: given.mapping };
}

interface Given {
  readonly in: string | undefined;
  readonly out: string | undefined;
  readonly mapping: readonly string[];
  readonly help: boolean;
}

function parse(argv: readonly string[]): Given {
  try {
    const { values } = parseArgs({
      args: [...argv],
      options: {
        in: { type: 'string' },
        out: { type: 'string' },
        mapping: { type: 'string', multiple: true },
        help: { type: 'boolean' },
      },
    });
    return { in: values.in, out: values.out, mapping: values.mapping ?? [], help: values.help ?? false };
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
