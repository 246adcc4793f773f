import fc from 'fast-check';
import { unzipSync, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { fileHash } from '../../lib/log/inspect';
import { checkArchive, takeOut } from '../../lib/keep/archive';
import { KeptLog } from '../../lib/keep/kept';
import { crc32, readZip, writeZip } from '../../lib/keep/zip';
import { MemoryFolder } from './memoryFolder';

const bytesOf = async (blob: Blob): Promise<Uint8Array<ArrayBuffer>> => new Uint8Array(await blob.arrayBuffer());
const mapping = { name: 'bench', headers: ['a'] };

const notes = [
  { no: 1, on: '2024-05-06', text: 'new fluid <b>', model: 'Heron' },
  { no: 3, on: '2024-05-07', text: 'B2 mended – „Prüfstand“', model: null },
];

async function keptLog(): Promise<KeptLog> {
  const kept = await KeptLog.open(new MemoryFolder());
  const file = async (name: string, content: BlobPart, mappings: unknown[] = []) => {
    const blob = new Blob([content]);
    return { name, blob, hash: await fileHash(blob), mappings };
  };
  await kept.add({
    no: 1,
    at: '2026-01-02 08:00:00',
    demo: false,
    left_out: false,
    alone: false,
    files: [await file('jobs.csv', 'job_id\nJ-1\n'), await file('Prüfblatt: 3/4.csv', 'a;b\n1;2\n', [mapping])],
  });
  // Bytes that look like the archive's own marks.
  const marks = Uint8Array.from([0x50, 0x4b, 3, 4, 0x50, 0x4b, 1, 2, 0x50, 0x4b, 5, 6, ...Array<number>(300).fill(0)]);
  await kept.add({
    no: 4,
    at: '2026-02-03 09:00:00',
    demo: false,
    left_out: false,
    alone: false,
    files: [await file('jobs.csv', marks)],
  });
  await kept.write(notes);
  await kept.add({ no: 5, at: '2026-02-04 09:00:00', demo: true, left_out: false, alone: false, files: [] });
  return kept;
}

async function archiveOf(kept: KeptLog): Promise<Blob> {
  const taken = await takeOut(kept, [mapping]);
  if (!taken.ok) throw new Error(taken.reason);
  return taken.archive;
}

describe('an archive of the log', () => {
  it('brings every file back byte for byte, in the same loads, with its mapping', async () => {
    const kept = await keptLog();
    const found = await checkArchive(await archiveOf(kept));
    if (!found.ok) throw new Error(found.reason);
    expect(found.archive.loads).toEqual(kept.loads);
    expect(found.archive.mappings).toEqual([mapping]);
    expect(found.archive.notes).toEqual(notes);
    const other = await KeptLog.open(new MemoryFolder());
    await other.replace(found.archive.loads, found.archive.files, found.archive.notes);
    expect(other.loads).toEqual(kept.loads);
    expect(other.notes).toEqual(notes);
    for (const file of kept.loads.flatMap((load) => load.files)) {
      const [here, there] = [await kept.bytes(file), await other.bytes(file)];
      if (here === null || there === null) throw new Error(`${file.name} is not kept`);
      expect(await bytesOf(there)).toEqual(await bytesOf(here));
    }
  });

  it('is the same, byte for byte, each time the same log is taken out', async () => {
    const kept = await keptLog();
    expect(await bytesOf(await archiveOf(kept))).toEqual(await bytesOf(await archiveOf(kept)));
  });

  it('is refused with any one of its bytes turned, or read as the same log, and never as another', async () => {
    const kept = await keptLog();
    const whole = await bytesOf(await archiveOf(kept));
    const hashes = kept.loads.flatMap((load) => load.files.map((file) => file.hash));
    await fc.assert(
      fc.asyncProperty(fc.nat(whole.length - 1), fc.integer({ min: 1, max: 255 }), async (at, turn) => {
        const turned = whole.slice();
        turned[at] = (turned[at] ?? 0) ^ turn;
        const found = await checkArchive(new Blob([turned]));
        if (!found.ok) {
          expect(found.reason).toMatch(/\.$/);
          return;
        }
        expect(found.archive.loads).toEqual(kept.loads);
        expect(await Promise.all(found.archive.files.map((file) => fileHash(file.blob)))).toEqual(hashes);
      }),
      { numRuns: 400 },
    );
  });

  it('that is cut off at any place is refused', async () => {
    const whole = await archiveOf(await keptLog());
    for (let end = 0; end < whole.size; end += 7) {
      expect(await checkArchive(whole.slice(0, end))).toMatchObject({ ok: false });
    }
  });

  it('names the file that is damaged, and the one that is missing', async () => {
    const files = unzipSync(await bytesOf(await archiveOf(await keptLog())));
    const [, path = ''] = Object.keys(files);
    expect(path).toBe('files/0001 jobs.csv');
    const damaged = zipSync({ ...files, [path]: Uint8Array.from([1, 2, 3]) });
    expect(await checkArchive(new Blob([damaged]))).toEqual({
      ok: false,
      reason: expect.stringMatching(/^jobs\.csv is damaged/) as string,
    });
    const { [path]: gone, ...rest } = files;
    expect(gone).toBeDefined();
    expect(await checkArchive(new Blob([zipSync(rest)]))).toEqual({
      ok: false,
      reason: 'jobs.csv is missing from the archive.',
    });
  });

  it.each([
    ['a text', new Blob(['job_id\n']), /no ZIP archive/],
    ['nothing', new Blob([]), /no ZIP archive/],
    ['another archive', new Blob([zipSync({ 'a.txt': Uint8Array.from([65]) })]), /not taken out of Shimbook/],
    [
      'a list that is none',
      new Blob([zipSync({ 'manifest.json': Uint8Array.from([65]) })]),
      /list of files is damaged/,
    ],
  ])('of %s is refused with what is wrong', async (_, blob, reason) => {
    expect(await checkArchive(blob)).toMatchObject({ ok: false, reason: expect.stringMatching(reason) as string });
  });

  it('is not made of a log with a damaged file, which is named', async () => {
    const folder = new MemoryFolder();
    const kept = await KeptLog.open(folder);
    const blob = new Blob(['one']);
    const hash = await fileHash(blob);
    await kept.add({
      no: 1,
      at: '2026-01-02 08:00:00',
      demo: false,
      left_out: false,
      alone: false,
      files: [{ name: 'jobs.csv', blob, hash, mappings: [] }],
    });
    folder.files.set(`file-${hash}`, new Blob(['eno']));
    expect(await takeOut(kept, [])).toEqual({
      ok: false,
      reason: expect.stringMatching(/jobs\.csv is damaged/) as string,
    });
  });
});

describe('the ZIP format, held against another implementation (fflate)', () => {
  const content = fc.uint8Array({ maxLength: 2000 });
  const archive = fc.dictionary(fc.stringMatching(/^[a-zäé0-9 ._-]{1,20}$/), content, {
    maxKeys: 6,
    noNullPrototype: true,
  });

  it('writes what the other reads', async () => {
    await fc.assert(
      fc.asyncProperty(archive, async (files) => {
        const list = Object.entries(files).map(([name, bytes]) => ({ name, blob: new Blob([new Uint8Array(bytes)]) }));
        const read = unzipSync(await bytesOf(await writeZip(list)));
        expect(Object.keys(read)).toEqual(Object.keys(files));
        for (const [name, bytes] of Object.entries(files)) expect([...(read[name] ?? [])]).toEqual([...bytes]);
      }),
      { numRuns: 40 },
    );
  });

  it('reads what the other writes, stored or deflated', async () => {
    await fc.assert(
      fc.asyncProperty(archive, fc.constantFrom(0, 6, 9), async (files, level) => {
        const read = await readZip(new Blob([new Uint8Array(zipSync(files, { level: level }))]));
        expect(read.map((entry) => entry.name)).toEqual(Object.keys(files));
        for (const entry of read)
          expect([...(await bytesOf(await entry.open()))]).toEqual([...(files[entry.name] ?? [])]);
      }),
      { numRuns: 40 },
    );
  });

  it('has the checksum that the format states for its test text', async () => {
    // The check value of CRC-32/ISO-HDLC, "123456789".
    expect(await crc32(new Blob(['123456789']))).toBe(0xcbf43926);
  });
});
