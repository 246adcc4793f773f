import { fileHash } from '../log/inspect';

/** A folder that is read again: which of its files the log does not have yet. */

/** A file as it was when it was last seen in the folder. */
export interface SeenFile {
  readonly name: string;
  readonly size: number;
  readonly modified: number;
  readonly hash: string;
}

export interface FolderNews {
  /** New or changed: to be loaded. */
  readonly fresh: readonly File[];
  readonly known: number;
  /** All that was seen, for the next time. */
  readonly seen: readonly SeenFile[];
}

/**
 * Compares a folder's files with what was seen before: one of the same name, size and date is taken to be the same; any
 * other is hashed. A file is known only if the log has its bytes (`held`), so that one which was undone is loaded again.
 */
export async function newsOf(
  files: readonly File[],
  before: readonly SeenFile[],
  held: ReadonlySet<string>,
): Promise<FolderNews> {
  const fresh: File[] = [];
  const seen: SeenFile[] = [];
  for (const file of files) {
    const facts = { name: file.name, size: file.size, modified: file.lastModified };
    const same = before.find(
      (old) => old.name === facts.name && old.size === facts.size && old.modified === facts.modified,
    );
    const hash = same?.hash ?? (await fileHash(file));
    seen.push({ ...facts, hash });
    if (!held.has(hash)) fresh.push(file);
  }
  return { fresh, known: files.length - fresh.length, seen };
}
