import { fileHash, isGone } from '../log/inspect';
import type { Folder } from './folder';
import { keptFileSchema, readList, writeList, type KeptFile, type KeptList, type KeptLoad } from './manifest';
import type { LogNote } from './notes';
import type { KeptQuote } from './quotes';
import { sentences } from './sentences';

/**
 * The kept log in its folder. Three kinds of names stand there: `writing-…`, which nothing rests on; `file-<hash>`, a source
 * file whose bytes were checked after writing; `list-<n>`, the list of what is kept. The whole list with the highest number
 * counts. A change writes its files, then a new list, and only then removes the old list and what it alone needed; so a tab
 * that dies at any moment leaves the log as it was or as it was to be.
 */

export interface NewFile extends Omit<KeptFile, 'size'> {
  readonly blob: Blob;
}

export interface NewLoad extends Omit<KeptLoad, 'files'> {
  readonly files: readonly NewFile[];
}

/** Files whose bytes are not those that were taken in: they were written to in between. */
export class ChangedFiles extends Error {
  constructor(readonly blobs: readonly Blob[]) {
    super('Files changed while they were read');
  }
}

const LIST = /^list-(\d+)$/;
const fileName = (hash: string): string => `file-${hash}`;
const writingName = (hash: string): string => `writing-${hash}`;

export class KeptLog {
  private constructor(
    private readonly folder: Folder,
    private current: State,
  ) {}

  static async open(folder: Folder): Promise<KeptLog> {
    return new KeptLog(folder, await readState(folder));
  }

  get loads(): readonly KeptLoad[] {
    return this.current.loads;
  }

  get notes(): readonly LogNote[] {
    return this.current.notes;
  }

  get quotes(): readonly KeptQuote[] {
    return this.current.quotes;
  }

  /** Rises with each change. */
  get generation(): number {
    return this.current.generation;
  }

  /** Whether there is a list and none of it can be read; nothing is added or swept then. */
  get damaged(): boolean {
    return this.current.damaged;
  }

  /** Looks again at what is kept, after another tab changed it. */
  async refresh(): Promise<void> {
    this.current = await readState(this.folder);
  }

  /** The bytes of a kept file, not yet checked; null where they are gone or not as many. */
  async bytes(file: KeptFile): Promise<Blob | null> {
    const blob = await this.folder.read(fileName(file.hash));
    return blob?.size === file.size ? blob : null;
  }

  /** Keeps a load; all or nothing. Throws ChangedFiles, or what the storage threw. */
  async add({ files, ...load }: NewLoad): Promise<void> {
    if (this.damaged) throw new Error(sentences.damagedList);
    await this.put(files);
    // Read by its schema, so that the list is the same text whether it was just made or read from an archive.
    const kept = files.map(({ blob, ...file }) => keptFileSchema.parse({ ...file, size: blob.size }));
    await this.commit({ ...this.written, loads: [...this.loads, { ...load, files: kept }] });
  }

  /** Lets a load go, with those of its files that no other load needs. */
  async drop(no: number): Promise<void> {
    if (!this.loads.some((load) => load.no === no)) return;
    await this.commit({ ...this.written, loads: this.loads.filter((load) => load.no !== no) });
  }

  /** Puts other notes in the place of those that are kept. */
  write(notes: readonly LogNote[]): Promise<void> {
    return this.rewrite({ notes });
  }

  /** Puts other quotes in the place of those that are kept. */
  writeQuotes(quotes: readonly KeptQuote[]): Promise<void> {
    return this.rewrite({ quotes });
  }

  private async rewrite(change: Partial<Written>): Promise<void> {
    if (this.damaged) throw new Error(sentences.damagedList);
    await this.commit({ loads: this.loads, ...this.written, ...change });
  }

  /** Puts other loads, and what was written beside them, in the place of all that is kept. */
  async replace(
    loads: readonly KeptLoad[],
    files: readonly NewFile[],
    notes: readonly LogNote[] = [],
    quotes: readonly KeptQuote[] = [],
  ): Promise<void> {
    await this.put(files);
    await this.commit({ loads, notes, quotes });
  }

  async clear(): Promise<void> {
    await this.commit({ loads: [], notes: [], quotes: [] });
  }

  private get written(): Written {
    return { notes: this.notes, quotes: this.quotes };
  }

  /** Removes what an earlier tab left half done. Only for the tab that may write. */
  async sweep(): Promise<void> {
    if (this.damaged) return;
    const needed = new Set(this.loads.flatMap(({ files }) => files.map(({ hash }) => fileName(hash))));
    needed.add(listName(this.generation));
    for (const name of await this.folder.list()) {
      if (!needed.has(name)) await this.folder.remove(name);
    }
  }

  private async put(files: readonly NewFile[]): Promise<void> {
    const changed: Blob[] = [];
    try {
      for (const file of files) {
        if (!(await this.putFile(file))) changed.push(file.blob);
      }
      if (changed.length > 0) throw new ChangedFiles(changed);
    } catch (error) {
      await this.sweepQuietly();
      throw error;
    }
  }

  /** Answers whether the file still was what its hash says. */
  private async putFile({ blob, hash }: NewFile): Promise<boolean> {
    const there = await this.folder.read(fileName(hash));
    if (there !== null && there.size === blob.size && (await fileHash(there)) === hash) return true;
    try {
      await this.folder.write(writingName(hash), blob);
    } catch (error) {
      if (await hasChanged(blob, hash)) return false;
      throw error;
    }
    const written = await this.folder.read(writingName(hash));
    if (written?.size !== blob.size || (await fileHash(written)) !== hash) {
      if (await hasChanged(blob, hash)) return false;
      throw new Error('what was read back differs from what was written');
    }
    if (there !== null) await this.folder.remove(fileName(hash));
    await this.folder.move(writingName(hash), fileName(hash));
    return true;
  }

  private async commit(list: KeptList): Promise<void> {
    const generation = this.current.highest + 1;
    const name = listName(generation);
    const text = writeList(list);
    try {
      await this.folder.write(name, new Blob([text]));
      if ((await (await this.folder.read(name))?.text()) !== text) {
        throw new Error('the list read back differs from what was written');
      }
    } catch (error) {
      // Whether the new list counts is for the folder to say; what it does not need goes.
      await this.folder.remove(name).catch(() => undefined);
      await this.refresh();
      if (this.generation === generation) return;
      await this.sweepQuietly();
      throw error;
    }
    this.current = { ...list, generation, highest: generation, damaged: false };
    await this.sweepQuietly();
  }

  /** What stays behind here is swept by the next change or start. */
  private async sweepQuietly(): Promise<void> {
    await this.sweep().catch(() => undefined);
  }
}

/** What a person wrote beside the log. */
type Written = Omit<KeptList, 'loads'>;

const listName = (generation: number): string => `list-${generation}`;

interface State extends KeptList {
  readonly generation: number;
  /** The highest number of any list, whole or not. */
  readonly highest: number;
  readonly damaged: boolean;
}

async function readState(folder: Folder): Promise<State> {
  const numbers = (await folder.list())
    .flatMap((name) => LIST.exec(name)?.[1] ?? [])
    .map(Number)
    .toSorted((a, b) => b - a);
  const highest = numbers[0] ?? 0;
  for (const generation of numbers) {
    const written = await folder.read(listName(generation));
    const list = written === null ? null : readList(await written.text());
    if (list !== null) return { ...list, generation, highest, damaged: false };
  }
  // A first list that was never finished is no loss: nothing was kept before it.
  return { loads: [], notes: [], quotes: [], generation: 0, highest, damaged: highest > 1 };
}

async function hasChanged(blob: Blob, hash: string): Promise<boolean> {
  try {
    return (await fileHash(blob)) !== hash;
  } catch (error) {
    if (isGone(error)) return true;
    throw error;
  }
}
