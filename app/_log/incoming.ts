import type { NewFile } from '../../lib/keep/kept';
import type { Inspection, LogFile } from '../../lib/log/inspect';
import type { PreparedFile } from '../../lib/log/mapping/prepare';
import type { CameWith, FileReport } from '../../lib/store/load';
import type { Arrived } from './mappings';

/** Files on their way into the log, and how they are read and kept. */
export interface Incoming<File extends PreparedFile> {
  readonly files: readonly File[];
  readonly step: string;
  readonly cameWith: (file: File) => CameWith;
  readonly inspect: (file: File, look: (file: LogFile) => Promise<Inspection>) => Promise<Inspection>;
  /** Keeps what was taken in; answers the files that had changed by then, which are taken out again. Null: it is kept. */
  readonly keep:
    ((reports: readonly FileReport[], hashes: ReadonlyMap<LogFile, string>) => Promise<readonly LogFile[]>) | null;
}

const twoDigits = (n: number): string => String(n).padStart(2, '0');
export const localTime = (now: Date): string =>
  `${now.getFullYear()}-${twoDigits(now.getMonth() + 1)}-${twoDigits(now.getDate())} ` +
  [now.getHours(), now.getMinutes(), now.getSeconds()].map(twoDigits).join(':');

export const called = (error: unknown): string => (error instanceof Error ? error.message : String(error));

export const withNote = (report: FileReport, note: string | null): FileReport =>
  note === null ? report : { ...report, note: report.note === null ? note : `${note} ${report.note}` };

/** Of the refused files those that a mapping could read. */
export async function foreignAmong(files: readonly PreparedFile[], reports: readonly FileReport[]): Promise<File[]> {
  const refused = files.flatMap(({ file }, i) =>
    reports[i]?.refused !== null && file.blob instanceof File ? [file.blob] : [],
  );
  if (refused.length === 0) return [];
  const { isForeignSheet } = await import('./mappings');
  // One that is gone from the disk can't be looked at again.
  const foreign = await Promise.all(refused.map((file) => isForeignSheet(file).catch(() => false)));
  return refused.filter((_, i) => foreign[i] === true);
}

export const inspectNew = (
  { file, refused }: PreparedFile,
  look: (file: LogFile) => Promise<Inspection>,
): Promise<Inspection> => (refused === null ? look(file) : Promise.resolve({ ok: false, reason: refused }));

/** The files of a load as they came, of which at least something was taken in. */
export function keptOf(
  files: readonly Arrived[],
  reports: readonly FileReport[],
  hashes: ReadonlyMap<LogFile, string>,
): NewFile[] {
  const origins = new Map<Blob, NewFile>();
  files.forEach(({ file, origin }, i) => {
    const hash = origin.hash ?? hashes.get(file);
    if (hash === undefined || (reports[i]?.table ?? null) === null) return;
    origins.set(origin.blob, { name: origin.name, blob: origin.blob, hash, mappings: origin.mappings });
  });
  return [...origins.values()];
}
