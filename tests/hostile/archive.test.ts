import { deflateSync } from 'fflate';
import { deflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { checkArchive } from '../../lib/keep/archive';
import { readList, writeList } from '../../lib/keep/manifest';
import { crc32, readZip, writeZip } from '../../lib/keep/zip';
import { fileHash } from '../../lib/log/inspect';
import { readMapping } from '../../lib/log/mapping/mapping';
import { mapping } from '../fuzz/seeds';

/** Archives, lists and mappings that somebody wrote by hand. */

const draws = new Blob(['job_id\nJ-1\n']);
const listed = async (change: object = {}, file: object = {}): Promise<object> => {
  const hash = await fileHash(draws);
  return {
    shimbook_archive: 1,
    loads: [
      {
        no: 1,
        at: '2026-01-02 08:00:00',
        demo: false,
        files: [{ name: 'a.csv', size: draws.size, hash, mappings: [], ...file }],
      },
    ],
    paths: { [hash]: 'files/1' },
    mappings: [],
    ...change,
  };
};
const archiveWith = (manifest: string): Promise<Blob> =>
  writeZip([
    { name: 'manifest.json', blob: new Blob([manifest]) },
    { name: 'files/1', blob: draws },
  ]);
const says = async (manifest: object | string): Promise<string> => {
  const found = await checkArchive(
    await archiveWith(typeof manifest === 'string' ? manifest : JSON.stringify(manifest)),
  );
  return found.ok ? 'readable' : found.reason;
};
const DAMAGED = "The archive's list of files is damaged, or of a later version.";

describe('an archive', () => {
  it('as it should be is read', async () => {
    expect(await says(await listed())).toBe('readable');
  });

  it.each([
    [
      'a load number that the database can not hold',
      { loads: [{ no: 9_000_000_000, at: '2026-01-02 08:00:00', demo: true, files: [] }] },
    ],
    ['a moment that there is not', { loads: [{ no: 1, at: '2026-13-45 99:99:99', demo: true, files: [] }] }],
    [
      'loads that go backwards',
      { loads: [2, 1].map((no) => ({ no, at: '2026-01-02 08:00:00', demo: true, files: [] })) },
    ],
    ['paths that are none', { paths: { '../../x': 'files/1' } }],
    ['a list in a list', { loads: [[[[]]]] }],
  ])('with %s is refused', async (_, change) => {
    expect(await says(await listed(change))).toBe(DAMAGED);
  });

  it('with a list that is no JSON, or nested a hundred thousand deep, is refused', async () => {
    for (const text of ['{', 'null', '[]', '['.repeat(100_000), `${'['.repeat(100_000)}${']'.repeat(100_000)}`]) {
      expect(await says(text)).toBe(DAMAGED);
    }
  });

  it('with __proto__ and constructor in its list changes no object', async () => {
    const text = JSON.stringify(await listed()).replace(
      '{',
      '{"__proto__":{"polluted":true},"constructor":{"prototype":{"polluted":true}},',
    );
    expect(await says(text)).toBe('readable');
    expect('polluted' in {}).toBe(false);
  });

  it('whose list tells another size than the file has is refused, with the file', async () => {
    for (const size of [0, draws.size + 1, Number.MAX_SAFE_INTEGER]) {
      expect(await says(await listed({}, { size }))).toBe(
        'a.csv is damaged in the archive: its bytes are not those that were taken out.',
      );
    }
  });

  it('whose list points to no file of it, or out of it, is refused', async () => {
    const hash = await fileHash(draws);
    for (const path of ['files/2', '../files/1', '/etc/passwd', '__proto__']) {
      expect(await says(await listed({ paths: { [hash]: path } }))).toBe('a.csv is missing from the archive.');
    }
  });

  it('with a file whose name is a path keeps it as a name', async () => {
    const found = await checkArchive(await archiveWith(JSON.stringify(await listed({}, { name: '../../etc/passwd' }))));
    expect(found.ok && found.archive.files.map((file) => file.name)).toEqual(['../../etc/passwd']);
  });

  it('that holds one name twice is read by one of them, and its bytes are compared all the same', async () => {
    const manifest = { name: 'manifest.json', blob: new Blob([JSON.stringify(await listed())]) };
    const twice = await writeZip([
      manifest,
      { name: 'files/1', blob: draws },
      { name: 'files/1', blob: new Blob(['x']) },
    ]);
    expect(await checkArchive(twice)).toMatchObject({
      ok: false,
      reason: expect.stringContaining('is damaged') as string,
    });
  });
});

/** A zip of one deflated file by its own account: the sizes told are the caller's. */
async function packed(content: Uint8Array<ArrayBuffer>, told: number): Promise<Blob> {
  const raw = new Uint8Array(deflateRawSync(content));
  const stored = await (await writeZip([{ name: 'big', blob: new Blob([raw]) }])).arrayBuffer();
  const bytes = new DataView(stored);
  const central = bytes.getUint32(bytes.byteLength - 22 + 16, true);
  bytes.setUint16(central + 10, 8, true);
  bytes.setUint32(central + 16, await crc32(new Blob([content])), true);
  bytes.setUint32(central + 24, told, true);
  return new Blob([stored]);
}

describe('a packed file in an archive', () => {
  const zeros = new Uint8Array(20_000_000);

  it('that would swell a thousandfold is refused before it is unpacked', async () => {
    const [entry] = await readZip(await packed(zeros, zeros.length));
    await expect(entry?.open()).rejects.toThrow('big would swell to more than 300 times its size');
  });

  it('that holds more than is told is broken off there', async () => {
    const [entry] = await readZip(await packed(zeros, 1000));
    await expect(entry?.open()).rejects.toThrow('big is damaged');
  });

  it('that is packed as logs are is read', async () => {
    const text = new TextEncoder().encode(
      Array.from({ length: 20_000 }, (_, i) => `J-${i},1,${(i * 7919) % 997}\n`).join(''),
    );
    const [entry] = await readZip(await packed(new Uint8Array(text), text.length));
    expect((await entry?.open())?.size).toBe(text.length);
    expect(deflateSync(text).length * 300).toBeGreaterThan(text.length);
  });
});

describe('the list of what is kept', () => {
  it('by another hand, with a hash that is right, is no list where its loads are none', () => {
    const load = { no: 1, at: '2026-01-02 08:00:00', demo: true, left_out: false, alone: false, files: [] };
    expect(readList(writeList({ loads: [load], notes: [], quotes: [] }))?.loads).toEqual([load]);
    for (const change of [{ no: 2 ** 40 }, { no: 0 }, { at: '2026-02-30 08:00:00' }, { at: '9999-99-99 99:99:99' }]) {
      expect(readList(writeList({ loads: [{ ...load, ...change }], notes: [], quotes: [] }))).toBeNull();
    }
  });
});

describe('a mapping', () => {
  const reason = (change: object | string): string => {
    const made = readMapping(typeof change === 'string' ? change : JSON.stringify({ ...mapping, ...change }));
    return made.ok ? 'readable' : made.reason;
  };
  const [target] = mapping.targets;

  it.each([
    ['__proto__ for a column', JSON.stringify(mapping).replace('"run":', '"__proto__":')],
    ['a header of a hundred thousand letters', { headers: ['x'.repeat(100_000)] }],
    ['ten thousand headers', { headers: Array.from({ length: 10_000 }, (_, i) => `h${i}`) }],
    ['a thousand targets', { targets: Array.from({ length: 1000 }, () => target) }],
    ['a header row far down', { header_row: 1_000_000_000 }],
    [
      'a constant of a megabyte',
      {
        targets: [
          { ...target, columns: { ...target?.columns, lift_mm: { from: 'constant', value: '1'.repeat(1e6) } } },
        ],
      },
    ],
    ['another language', '<mapping/>'],
    ['nothing', ''],
    ['lists a hundred thousand deep', '['.repeat(100_000)],
  ])('with %s is refused in a sentence', (_, change) => {
    expect(reason(change)).toMatch(/^(The mapping can't be used\.|This is not JSON)/);
    expect(reason(change).length).toBeLessThan(1000);
    expect('polluted' in {}).toBe(false);
  });
});
