import type { LogFile } from '../../lib/log/inspect';
import { openLog, type HeadlessLog } from '../../lib/headless/log';

/** A file of a log out of its text, as if it had been picked. */
export const textFile = (name: string, content: BlobPart): LogFile => ({ name, blob: new Blob([content]), path: null });

/** A log in native DuckDB out of files given as text or bytes, worked out to the end. */
export const logOf = (files: Readonly<Record<string, BlobPart>>): Promise<HeadlessLog> =>
  openLog(
    Object.entries(files).map(([name, content]) => textFile(name, content)),
    '2026-01-01 08:00:00',
  );
