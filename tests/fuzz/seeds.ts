import { readFileSync } from 'node:fs';
import { fileHash } from '../../lib/log/inspect';
import { KeptLog } from '../../lib/keep/kept';
import { takeOut } from '../../lib/keep/archive';
import { MemoryFolder } from '../keep/memoryFolder';
import { bookBytes, partsOfBook, sheetOfCsv } from '../log/workbook/book';
import { smallLog } from '../store/smallLog';
import type { Bytes } from './mutate';

/** The valid files that are changed. */

export const bytesOf = (text: string): Bytes => new Uint8Array(new TextEncoder().encode(text));
export const csvs: readonly Bytes[] = Object.values(smallLog).map(bytesOf);

const parquet = (name: string): Bytes => new Uint8Array(readFileSync(`data-demo/log/${name}.parquet`));
export const parquets: readonly Bytes[] = ['instruments', 'cam_lift', 'checks', 'test_points', 'specs'].map(parquet);

const book = {
  sheets: ['jobs.csv', 'closures.csv', 'draws.csv'].map((name) => sheetOfCsv(name.slice(0, -4), smallLog[name] ?? '')),
};
export const books: readonly Bytes[] = [bookBytes(book)];
export const bookParts: readonly (readonly [string, string])[] = Object.entries(partsOfBook(book));

/** A sheet of a shop's own, and the mapping that reads it. */
export const foreignSheet = bytesOf(
  'Karte;Lauf;Zyl;Winkel\r\nJ-1;1;1;0,0\r\nJ-1;1;3;90,8\r\n"J-1";1;4;1.180,0\r\nJ-1;1;2;269,7\r\n',
);
export const mapping = {
  shimbook_mapping: 1,
  name: 'Angles',
  headers: ['Karte', 'Lauf', 'Zyl', 'Winkel'],
  encoding: 'utf-8',
  delimiter: ';',
  decimal: 'comma',
  thousands: 'point',
  dates: 'dmy',
  targets: [
    {
      table: 'closures',
      shape: 'a row a reading',
      rows: 'distinct',
      columns: {
        job_id: { from: 'header', header: 'Karte', words: { x: 'J-1' } },
        run: { from: 'header', header: 'Lauf' },
        element: { from: 'header', header: 'Zyl' },
        cam_deg: { from: 'header', header: 'Winkel', unit: 'crank_deg' },
        lift_mm: { from: 'constant', value: '2.6' },
      },
    },
  ],
};
export const mappingText = bytesOf(JSON.stringify(mapping, null, 1));

/** What is kept of the small log, as an archive. */
export async function archiveSeed(): Promise<{ readonly archive: Bytes; readonly manifest: string }> {
  const kept = await KeptLog.open(new MemoryFolder());
  const files = await Promise.all(
    Object.entries(smallLog).map(async ([name, text]) => {
      const blob = new Blob([text]);
      return { name, blob, hash: await fileHash(blob), mappings: name === 'draws.csv' ? [mapping] : [] };
    }),
  );
  const load = { at: '2026-01-02 08:00:00', demo: false, left_out: false, alone: false };
  await kept.add({ ...load, no: 1, files: files.slice(0, 3) });
  await kept.add({ ...load, no: 2, files: files.slice(3) });
  const taken = await takeOut(kept, [mapping]);
  if (!taken.ok) throw new Error(taken.reason);
  const { readZip } = await import('../../lib/keep/zip');
  const [first] = await readZip(taken.archive);
  return {
    archive: new Uint8Array(await taken.archive.arrayBuffer()),
    manifest: (await (await first?.open())?.text()) ?? '',
  };
}
