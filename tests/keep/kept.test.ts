import { describe, expect, it } from 'vitest';
import { fileHash } from '../../lib/log/inspect';
import { ChangedFiles, KeptLog, type NewFile, type NewLoad } from '../../lib/keep/kept';
import { whyNotKept } from '../../lib/keep/sentences';
import { faults, Killed, MemoryFolder, type Fault } from './memoryFolder';

const AT = '2026-01-02 08:00:00';

const file = async (name: string, text: string): Promise<NewFile> => {
  const blob = new Blob([text]);
  return { name, blob, hash: await fileHash(blob), mappings: [] };
};
const loadOf = async (no: number, files: Readonly<Record<string, string>>): Promise<NewLoad> => ({
  no,
  at: AT,
  demo: false,
  left_out: false,
  alone: false,
  files: await Promise.all(Object.entries(files).map(([name, text]) => file(name, text))),
});

/** What a person gets back: loads, names and text; a file that is not as it was is told. */
async function contents(folder: MemoryFolder): Promise<string[]> {
  const kept = await KeptLog.open(folder.reopened());
  const lines = kept.loads.map(async ({ no, files }) => {
    const texts = files.map(async (each) => {
      const bytes = await kept.bytes(each);
      const whole = bytes !== null && (await fileHash(bytes)) === each.hash;
      return `${each.name}=${whole ? await bytes.text() : 'DAMAGED'}`;
    });
    return `${no}: ${(await Promise.all(texts)).join(' ')}`;
  });
  const notes = kept.notes.map(({ no, on, text }) => `note ${no}, ${on}: ${text}`);
  return [...(await Promise.all(lines)), ...notes];
}

/** Opens and sweeps as the next tab does; answers the names that then stand there. */
async function swept(folder: MemoryFolder): Promise<string[]> {
  const kept = await KeptLog.open(folder.reopened());
  expect(kept.damaged).toBe(false);
  await kept.sweep();
  return [...folder.files.keys()];
}

const first = (): Promise<NewLoad> => loadOf(1, { 'jobs.csv': 'one', 'draws.csv': 'two' });
const second = (): Promise<NewLoad> => loadOf(2, { 'more.csv': 'three', 'again.csv': 'one' });

async function twoLoads(): Promise<MemoryFolder> {
  const folder = new MemoryFolder();
  const kept = await KeptLog.open(folder);
  await kept.add(await first());
  await kept.add(await second());
  return folder;
}

const changes: Readonly<Record<string, (kept: KeptLog) => Promise<void>>> = {
  'a first load': async (kept) => {
    await kept.clear();
    await kept.add(await first());
  },
  'one more load': async (kept) => kept.add(await loadOf(3, { 'third.csv': 'four', 'fourth.csv': 'five' })),
  'writing a note': (kept) => kept.write([{ no: 1, on: '2024-05-06', text: 'new fluid', model: null }]),
  'undoing the last load': (kept) => kept.drop(2),
  'an archive put in its place': async (kept) => {
    const { files, ...load } = await loadOf(1, { 'other.csv': 'six', 'jobs.csv': 'one' });
    const entries = files.map(({ name, blob, hash, mappings }) => ({ name, size: blob.size, hash, mappings }));
    await kept.replace([{ ...load, files: entries }], files);
  },
  'deleting everything': (kept) => kept.clear(),
};

describe('the kept log', () => {
  it('gives back what was put in, in the order of the loads, and stores equal bytes once', async () => {
    const folder = await twoLoads();
    expect(await contents(folder)).toEqual(['1: jobs.csv=one draws.csv=two', '2: more.csv=three again.csv=one']);
    expect([...folder.files.keys()].filter((name) => name.startsWith('file-'))).toHaveLength(3);
  });

  it('keeps a file that another load needs when its load is undone', async () => {
    const folder = await twoLoads();
    await (await KeptLog.open(folder)).drop(1);
    expect(await contents(folder)).toEqual(['2: more.csv=three again.csv=one']);
    expect(await swept(folder)).toHaveLength(3);
  });

  it('leaves nothing behind when it is deleted but its empty list', async () => {
    const folder = await twoLoads();
    await (await KeptLog.open(folder)).clear();
    expect([...folder.files.keys()]).toEqual([expect.stringMatching(/^list-/)]);
  });

  describe.each(Object.entries(changes))('%s', (name, change) => {
    /** The states that may be found: before and after the change. */
    async function states(): Promise<{ steps: number; allowed: string[][] }> {
      const folder = await twoLoads();
      const allowed = [await contents(folder)];
      const tab = folder.reopened();
      await change(await KeptLog.open(tab));
      allowed.push(await contents(folder));
      // The first load is made in a folder that is emptied before.
      if (name === 'a first load') allowed.push([]);
      return { steps: tab.steps, allowed };
    }

    const breakAt = async (at: number, fault: Fault, error: Error) => {
      const folder = await twoLoads();
      const tab = folder.reopened();
      tab.plan = { at, fault, error };
      const failed = await KeptLog.open(tab)
        .then(change)
        .then(
          () => null,
          (problem: unknown) => problem,
        );
      return { folder, tab, failed };
    };

    it('in a tab that is killed at any step leaves the log as it was or as it was to be, and what is left over is swept', async () => {
      const { steps, allowed } = await states();
      expect(steps).toBeGreaterThan(3);
      for (let at = 1; at <= steps; at += 1) {
        for (const fault of faults) {
          const { folder } = await breakAt(at, fault, new Killed('The tab is gone'));
          const found = await contents(folder);
          expect(allowed).toContainEqual(found);
          const names = await swept(folder);
          expect(await contents(folder)).toEqual(found);
          const needed = new Set(
            (await KeptLog.open(folder.reopened())).loads.flatMap(({ files }) => files.map((f) => f.hash)),
          );
          expect(names.filter((name) => name.startsWith('file-')).toSorted()).toEqual(
            [...needed].map((hash) => `file-${hash}`).toSorted(),
          );
          expect(names.filter((name) => name.startsWith('writing-'))).toEqual([]);
        }
      }
    });

    it('that the storage refuses at any step fails or is done, never half, and can be tried again', async () => {
      const { steps, allowed } = await states();
      const [, after] = allowed;
      const full = new DOMException('The quota has been exceeded', 'QuotaExceededError');
      for (let at = 1; at <= steps; at += 1) {
        for (const fault of faults) {
          const { folder, tab, failed } = await breakAt(at, fault, full);
          expect(allowed).toContainEqual(await contents(folder));
          if (failed === null) expect(await contents(folder)).toEqual(after);
          else expect(whyNotKept(failed)).toMatch(/is full/);
          tab.plan = null;
          if (failed !== null && JSON.stringify(await contents(folder)) !== JSON.stringify(after)) {
            await change(await KeptLog.open(tab));
          }
          expect(await contents(folder)).toEqual(after);
        }
      }
    });
  });

  it('does not take a file whose bytes are no longer those that were read, and names it', async () => {
    const folder = new MemoryFolder();
    const kept = await KeptLog.open(folder);
    const load = await first();
    const files = load.files.map((each) => (each.name === 'jobs.csv' ? { ...each, blob: new Blob(['on!']) } : each));
    const failed: unknown = await kept.add({ ...load, files }).catch((error: unknown) => error);
    expect(failed).toBeInstanceOf(ChangedFiles);
    expect((failed as ChangedFiles).blobs).toEqual([files[0]?.blob]);
    expect(kept.loads).toEqual([]);
    expect([...folder.files.keys()]).toEqual([]);
  });

  it('finds a kept file of another length, and one that is gone, and mends it when the file is loaded again', async () => {
    const folder = await twoLoads();
    const kept = await KeptLog.open(folder);
    const [jobs, draws] = kept.loads[0]?.files ?? [];
    if (jobs === undefined || draws === undefined) throw new Error('The first load is not there');
    folder.files.set(`file-${jobs.hash}`, new Blob(['on']));
    folder.files.delete(`file-${draws.hash}`);
    expect(await kept.bytes(jobs)).toBeNull();
    expect(await kept.bytes(draws)).toBeNull();
    await kept.add({ ...(await first()), no: 3 });
    expect(await (await kept.bytes(jobs))?.text()).toBe('one');
    expect(await (await kept.bytes(draws))?.text()).toBe('two');
  });

  it('mends a file whose bytes were turned in place', async () => {
    const folder = await twoLoads();
    const [jobs] = (await KeptLog.open(folder)).loads[0]?.files ?? [];
    folder.files.set(`file-${jobs?.hash ?? ''}`, new Blob(['eno']));
    expect((await contents(folder))[0]).toBe('1: jobs.csv=DAMAGED draws.csv=two');
    await (await KeptLog.open(folder)).add({ ...(await first()), no: 3 });
    expect((await contents(folder))[0]).toBe('1: jobs.csv=one draws.csv=two');
  });

  it('with a list that can not be read adds and sweeps nothing, until it is deleted', async () => {
    const folder = await twoLoads();
    folder.files.set('list-2', new Blob(['nonsense']));
    const kept = await KeptLog.open(folder);
    expect(kept.damaged).toBe(true);
    await kept.sweep();
    await expect(kept.add(await loadOf(3, { 'third.csv': 'four' }))).rejects.toThrow(
      /list of the kept files is damaged/,
    );
    expect([...folder.files.keys()].filter((name) => name.startsWith('file-'))).toHaveLength(3);
    await kept.clear();
    expect([...folder.files.keys()]).toEqual(['list-3']);
    expect((await KeptLog.open(folder)).damaged).toBe(false);
  });

  it('shows another tab what was added, when it looks again', async () => {
    const folder = new MemoryFolder();
    const writer = await KeptLog.open(folder);
    const reader = await KeptLog.open(folder.reopened());
    await writer.add(await first());
    expect(reader.loads).toEqual([]);
    await reader.refresh();
    expect(reader.loads).toEqual(writer.loads);
    expect(reader.generation).toBe(writer.generation);
  });
});
