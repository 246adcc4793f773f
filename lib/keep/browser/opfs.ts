import type { Folder } from '../folder';

const FOLDER = 'shimbook-log';

/** Not yet among the types that come with the compiler; older browsers lack it. */
type Movable = FileSystemFileHandle & { readonly move?: (name: string) => Promise<void> };

const isNotFound = (error: unknown): boolean => error instanceof DOMException && error.name === 'NotFoundError';

/**
 * A folder of the browser's private storage. Files are written through createWritable: the browser copies the bytes in its own
 * process, so that the page stays free, and puts them under the name at the end in one step. (Access handles in a worker
 * are quicker for many small writes, but change the file in place.)
 */
export class OpfsFolder implements Folder {
  constructor(private readonly folder: FileSystemDirectoryHandle) {}

  /** Throws where the browser gives no storage: private windows of some, and pages that are no secure context. */
  static async open(): Promise<OpfsFolder> {
    // Not there at all over plain http, whatever the types say.
    const storage = (navigator as Partial<Navigator>).storage as Partial<StorageManager> | undefined;
    if (storage?.getDirectory === undefined || !('createWritable' in FileSystemFileHandle.prototype)) {
      throw new DOMException('No private storage', 'SecurityError');
    }
    const root = await navigator.storage.getDirectory();
    return new OpfsFolder(await root.getDirectoryHandle(FOLDER, { create: true }));
  }

  async list(): Promise<readonly string[]> {
    const names: string[] = [];
    for await (const name of this.folder.keys()) names.push(name);
    return names;
  }

  async read(name: string): Promise<Blob | null> {
    try {
      return await (await this.folder.getFileHandle(name)).getFile();
    } catch (error) {
      if (isNotFound(error)) return null;
      throw error;
    }
  }

  async write(name: string, content: Blob): Promise<void> {
    const handle = await this.folder.getFileHandle(name, { create: true });
    const writing = await handle.createWritable();
    try {
      await writing.write(content);
      await writing.close();
    } catch (error) {
      await writing.abort().catch(() => undefined);
      throw error;
    }
  }

  async move(from: string, to: string): Promise<void> {
    const handle: Movable = await this.folder.getFileHandle(from);
    if (handle.move !== undefined) {
      await handle.move(to);
      return;
    }
    await this.write(to, await handle.getFile());
    await this.remove(from);
  }

  async remove(name: string): Promise<void> {
    try {
      await this.folder.removeEntry(name);
    } catch (error) {
      if (!isNotFound(error)) throw error;
    }
  }
}
