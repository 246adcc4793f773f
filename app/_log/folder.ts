import { del, get, set } from 'idb-keyval';
import { z } from 'zod';
import { newsOf, type SeenFile } from '../../lib/keep/recent';
import { keeper } from './keeper';

/** The folder that a person chose last, kept by its handle, which the browser stores and a page can't read the path of. */

const PLACE = 'shimbook.folder';
/** As the file chooser takes them. */
const SHEET = /\.(csv|txt|tsv|parquet)$/i;

/** Not among the types that come with the compiler; only some browsers have them. */
interface Permitting {
  readonly requestPermission?: (wish: { mode: 'read' }) => Promise<PermissionState>;
}
interface Picking {
  readonly showDirectoryPicker?: (wish: { mode: 'read'; id: string }) => Promise<FileSystemDirectoryHandle>;
}

const handleSchema = z.custom<FileSystemDirectoryHandle & Permitting>(
  (value) => value instanceof FileSystemDirectoryHandle,
);
const seenSchema = z.object({ name: z.string(), size: z.number(), modified: z.number(), hash: z.string() });
const folderSchema = z.object({ handle: handleSchema, seen: z.array(seenSchema), readAt: z.string().nullable() });
export type RecentFolder = z.infer<typeof folderSchema>;

export const canPickFolder = (): boolean => 'showDirectoryPicker' in window;

export async function recentFolder(): Promise<RecentFolder | null> {
  return folderSchema.safeParse(await get(PLACE)).data ?? null;
}

/** Lets a person choose a folder; null where none was. */
export async function pickFolder(): Promise<RecentFolder | null> {
  const { showDirectoryPicker } = window as Picking;
  if (showDirectoryPicker === undefined) return null;
  try {
    const handle = await showDirectoryPicker.call(window, { mode: 'read', id: 'shimbook' });
    return await remember({ handle, seen: [], readAt: null });
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') return null;
    throw error;
  }
}

async function remember(folder: RecentFolder): Promise<RecentFolder> {
  await set(PLACE, folder);
  return folder;
}

export const forgetFolder = (): Promise<void> => del(PLACE);

export interface FolderRead {
  readonly folder: RecentFolder;
  readonly fresh: readonly File[];
  readonly known: number;
}

/** Looks what is new or changed in the folder; null where the person does not let the page read it. */
export async function readFolder(folder: RecentFolder, now: Date): Promise<FolderRead | null> {
  const { handle } = folder;
  if (((await handle.requestPermission?.({ mode: 'read' })) ?? 'granted') !== 'granted') return null;
  const files: File[] = [];
  for await (const entry of handle.values()) {
    if (entry instanceof FileSystemFileHandle && SHEET.test(entry.name)) files.push(await entry.getFile());
  }
  files.sort((a, b) => a.lastModified - b.lastModified || a.name.localeCompare(b.name));
  const held = new Set(keeper.read().loads.flatMap((load) => load.files.map((file) => file.hash)));
  const { fresh, known, seen } = await newsOf(files, folder.seen, held);
  const seenNow: SeenFile[] = [...seen];
  return { folder: await remember({ handle, seen: seenNow, readAt: now.toLocaleString('sv') }), fresh, known };
}
