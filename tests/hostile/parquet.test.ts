import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ParquetReading } from '../../lib/store/browser/parquet';
import { UnreadableFile, weighParquet } from '../../lib/store/database';
import { NativeDatabase } from '../../lib/store/native/database';
import { hearingFalls } from '../fuzz/cases';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

/** Parquet files that say what is not so. Both readers are asked: the database's own, and the codec of the browser. */

type Bytes = Uint8Array<ArrayBuffer>;

async function made(select: string, how = ''): Promise<Bytes> {
  const folder = mkdtempSync(join(tmpdir(), 'hostile-'));
  const db = await NativeDatabase.open(1);
  try {
    const path = join(folder, 'x.parquet');
    await db.run(`copy (${select}) to '${path}' (format parquet${how})`);
    return new Uint8Array(readFileSync(path));
  } finally {
    await db.close();
    rmSync(folder, { recursive: true });
  }
}
const CLOSURES = `select 'J-1' as job_id, 3 as run, 1 as element, 0.5 as cam_deg`;

/** What the database and the codec say of a file: the sentence, or how many rows they read. */
async function both(bytes: Bytes): Promise<readonly [string, string]> {
  const { db, files } = await logOf({ ...smallLog, 'x.parquet': bytes });
  const report = files.at(-1);
  expect(await db.rows('select count(*)::integer as n from draws')).toEqual([{ n: 9 }]);
  await db.close();
  return [report?.refused ?? `${report?.read ?? 0} rows`, await hearingFalls(() => decoded(bytes))];
}

async function decoded(bytes: Bytes): Promise<string> {
  try {
    const reading = await ParquetReading.open(new Blob([bytes]));
    try {
      let pieces = 0;
      while ((await reading.next()) !== null) pieces += 1;
      return `${pieces} pieces`;
    } finally {
      await reading.close();
    }
  } catch (error) {
    if (error instanceof UnreadableFile) return error.message;
    throw error;
  }
}

const withFooterLength = (bytes: Bytes, length: number): Bytes => {
  const changed = bytes.slice();
  new DataView(changed.buffer).setUint32(changed.length - 8, length, true);
  return changed;
};

describe('a Parquet file', () => {
  it('as it should be is read by both', async () => {
    expect(await both(await made(CLOSURES))).toEqual(['1 rows', '1 pieces']);
  });

  it.each([0, 1, 0x7fffffff, 0xffffffff])('that tells of a footer of %i bytes is refused', async (length) => {
    const [database, codec] = await both(withFooterLength(await made(CLOSURES), length));
    expect(database).toMatch(/^This Parquet file can't be read \(.*\)\. Export it again\.$/s);
    expect(codec).not.toMatch(/pieces/);
  });

  it('of nothing but its marks and a footer of the largest numbers is refused', async () => {
    const footer = Uint8Array.from({ length: 400 }, (_, i) => (i % 11 === 10 ? 0x7f : 0xff));
    const tail = new Uint8Array(8);
    new DataView(tail.buffer).setUint32(0, footer.length, true);
    const mark = new TextEncoder().encode('PAR1');
    tail.set(mark, 4);
    const [database, codec] = await both(new Uint8Array([...mark, ...footer, ...tail]));
    expect(database).toContain("can't be read");
    expect(codec).not.toMatch(/pieces/);
  });

  it('of millions of rows that take no room is refused by what it says, before they are read', async () => {
    const bytes = await made(`${CLOSURES} from range(5000000)`, ', row_group_size 5000000, compression zstd');
    for (const says of await both(bytes)) expect(says).toMatch(/it says that it holds 5000000 rows in \d+ bytes/);
  });

  it('with more columns than any sheet is refused', () => {
    expect(() => {
      weighParquet(1000, 1, 20_000);
    }).toThrow('it has 20000 columns');
  });

  it('of nested columns is read as text or refused, and never as something else', async () => {
    const odd = `select {'a': 'J-1'} as job_id, [1, 2] as run, map {'x': 1} as element, '\\x00\\xff'::blob as cam_deg`;
    const [database] = await both(await made(odd));
    expect(database).toMatch(/^(1 rows|This Parquet file can't be read)/);
  });

  it('at which the codec falls is refused, and a good one after it is read', async () => {
    const good = new Uint8Array(readFileSync('data-demo/log/instruments.parquet'));
    let fell = 0;
    await hearingFalls(async () => {
      // Places in the pages' headers and levels, of which some are ones that the codec does not look at before it leaps.
      for (let at = 4; at < 2200; at += 23) {
        const bytes = good.slice();
        bytes[at] = (bytes[at] ?? 0) ^ 0xff;
        if ((await decoded(bytes)) === 'a page of it is damaged') fell += 1;
      }
      expect(await decoded(good)).toBe('1 pieces');
    });
    expect(fell).toBeGreaterThan(0);
  });
});
