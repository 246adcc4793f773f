import { openAsBlob } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join, relative } from 'node:path';
import type { LogFile } from '../log/inspect';

const READABLE = /\.(csv|txt|parquet)$/i;

/** All CSV and Parquet files in a folder and the folders in it, by name; their bytes stay on disk. */
export async function filesIn(folder: string): Promise<LogFile[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const paths = entries
    .filter((entry) => entry.isFile() && READABLE.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
  return Promise.all(paths.map(async (path) => ({ name: relative(folder, path), blob: await openAsBlob(path), path })));
}
