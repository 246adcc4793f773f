import { openAsBlob } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join, relative } from 'node:path';
import type { LogFile } from '../log/inspect';

const READABLE = /\.(csv|txt|parquet|xlsx|xlsm)$/i;
/** Kinds of workbooks that are not read; they are named, so that a folder of them is not passed over without a word. */
const REFUSED = /\.(xls|xlsb|ods)$/i;
/** What a spreadsheet program lays beside a workbook while it is open. */
const LOCK = /^~\$/;

/** All CSV and Parquet files and workbooks in a folder and the folders in it, by name; their bytes stay on disk. */
export async function filesIn(folder: string): Promise<LogFile[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const paths = entries
    .filter(
      (entry) => entry.isFile() && (READABLE.test(entry.name) || REFUSED.test(entry.name)) && !LOCK.test(entry.name),
    )
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
  return Promise.all(paths.map(async (path) => ({ name: relative(folder, path), blob: await openAsBlob(path), path })));
}
