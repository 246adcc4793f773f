import { exportedColumns } from '../../store/tables';
import { resultTables } from '../../calc/layout';
import type { LogFile } from '../../log/inspect';
import { tableNames, type TableName } from '../../log/table';
import { tables } from '../../log/tables';

/** How the files of a large log fall into partitions: by the folders they lie in, and by what they hold. */

/** A file and the tables that it holds rows of; none where no table has its columns. */
export interface Seen {
  readonly file: LogFile;
  readonly holds: readonly TableName[];
}

export interface Partition {
  /** Its folders joined by a slash: the key of the partition, and its place in the output. */
  readonly name: string;
  readonly files: readonly LogFile[];
}

export interface Plan {
  readonly partitions: readonly Partition[];
  /** Sheets that all partitions are worked to. */
  readonly shared: readonly LogFile[];
  /** Files that belong to no partition and hold no table. */
  readonly unused: readonly LogFile[];
}

/** The log can't be worked out by partitions as it is laid out; the message says why and what to do. */
export class LayoutError extends Error {}

const tablesOfJobs: ReadonlySet<TableName> = new Set(
  tableNames.filter((name) => tables[name].columns.some((column) => column.name === 'job_id')),
);
const KEYED = /^[^=]+=/;
const named = new Set<string>(tableNames);

/**
 * The folders that part a log. Where any is named KEY=VALUE only such count; else all do, but for those named after a table.
 * KEY=VALUE folders are the same partition in any order.
 */
function folders(names: readonly string[]): (name: string) => string[] {
  const parts = (name: string): string[] => name.split(/[\\/]/).slice(0, -1);
  const keyed = names.some((name) => parts(name).some((part) => KEYED.test(part)));
  if (!keyed) return (name) => parts(name).filter((part) => !named.has(part.toLowerCase()));
  const order = new Map<string, string>();
  return (name) => {
    const own = parts(name).filter((part) => KEYED.test(part));
    const same = own.toSorted().join('/');
    const first = order.get(same) ?? own.join('/');
    order.set(same, first);
    return first === '' ? [] : first.split('/');
  };
}

export function planOf(files: readonly Seen[]): Plan {
  const of = folders(files.map(({ file }) => file.name));
  const placed = files.map((seen) => ({ ...seen, place: of(seen.file.name).join('/') }));
  const ofJobs = placed.filter(({ holds }) => holds.some((name) => tablesOfJobs.has(name)));
  const names = [...new Set(ofJobs.map(({ place }) => place))].sort();
  check(names, new Map(ofJobs.map(({ file, place }) => [place, file.name])));
  const parted = new Set(names);
  const loose = placed.filter(({ place }) => !parted.has(place));
  return {
    partitions: names.map((name) => ({
      name,
      files: placed.filter(({ place }) => place === name).map(({ file }) => file),
    })),
    shared: loose.filter(({ holds }) => holds.length > 0).map(({ file }) => file),
    unused: loose.filter(({ holds }) => holds.length === 0).map(({ file }) => file),
  };
}

/** Throws LayoutError where a job's rows could stand in two partitions at once, or a key would hide a column of the results. */
function check(names: readonly string[], example: ReadonlyMap<string, string>): void {
  if (names.length === 0) throw new LayoutError('No file holds rows of jobs, so there is nothing to work out.');
  const top = example.get('');
  if (top !== undefined) {
    throw new LayoutError(
      names.length === 1
        ? `${top} holds rows of jobs and lies in no folder of a partition. Leave out --by-partition, or lay the log out as docs/scale.md says.`
        : `${top} holds rows of jobs and lies in no folder of a partition, while other files do. Move its rows into the partitions of their jobs.`,
    );
  }
  for (const above of names) {
    const below = names.find((name) => name !== above && covers(above, name));
    if (below !== undefined) {
      throw new LayoutError(
        `${example.get(above) ?? above} holds rows of jobs and lies above the partition ${below}. A job's rows must stand in one partition: move them there.`,
      );
    }
  }
  const keys = names.flatMap((name) => name.split('/').filter((part) => KEYED.test(part)));
  const hiding = keys.map((part) => part.split('=')[0] ?? '').find((key) => resultColumns.has(key.toLowerCase()));
  if (hiding !== undefined) {
    throw new LayoutError(
      `The folders ${hiding}=... have the name of a column of the results, which would be hidden when they are read by partition. Name them otherwise.`,
    );
  }
}

const resultColumns: ReadonlySet<string> = new Set(
  resultTables.flatMap((table) => exportedColumns(table).map((column) => column.name)),
);

const covers = (above: string, below: string): boolean =>
  KEYED.test(above) ? above.split('/').every((part) => below.split('/').includes(part)) : below.startsWith(`${above}/`);

/** The partitions that `asked` names: each that lies in all the folders asked for. */
export const only = (partitions: readonly Partition[], asked: readonly string[]): readonly Partition[] => {
  const wanted = asked.flatMap((text) => text.split(/[\\/]/)).filter((part) => part !== '');
  return partitions.filter(({ name }) => wanted.every((part) => name.split('/').includes(part)));
};
