import type { Inspection, LogFile } from './inspect';

/** A file as the log is to take it: a refused one with its reason, and what there is to say of it. */
export interface PreparedFile {
  readonly file: LogFile;
  readonly refused: string | null;
  readonly note: string | null;
}

/** A file that is taken as it is. */
export const asItIs = (file: LogFile): PreparedFile => ({ file, refused: null, note: null });

/** What is said of a file, in one line; null where there is nothing to say. */
export const joined = (...said: readonly (string | null)[]): string | null =>
  said.filter((each) => each !== null && each !== '').join(' ') || null;

/** Looks a prepared file through, and says what was found before along with it. */
export async function inspectPrepared(
  { file, refused, note }: PreparedFile,
  inspect: (file: LogFile) => Promise<Inspection>,
): Promise<Inspection> {
  if (refused !== null) return { ok: false, reason: refused };
  const found = await inspect(file);
  if (!found.ok) return { ok: false, reason: joined(found.reason, note) ?? '' };
  return found.format === 'csv' ? { ...found, note: joined(note, found.note) } : found;
}
