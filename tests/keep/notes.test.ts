import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { KeptLog } from '../../lib/keep/kept';
import { readList, writeList } from '../../lib/keep/manifest';
import { newNoteSchema, notesSchema, withNote, withoutNote, type LogNote } from '../../lib/keep/notes';
import { MemoryFolder } from './memoryFolder';

const note = { on: '2024-05-06', text: 'new fluid', model: null };

describe('a note', () => {
  it.each([
    ['a day that is none', { ...note, on: '2024-02-30' }],
    ['a day written otherwise', { ...note, on: '6.5.2024' }],
    ['no text', { ...note, text: '' }],
    ['a text over two lines', { ...note, text: 'new\nfluid' }],
    ['a text longer than a line', { ...note, text: 'x'.repeat(201) }],
    ['a model that is no text', { ...note, model: 7 }],
  ])('with %s is refused', (_, wrong) => {
    expect(newNoteSchema.safeParse(wrong).success).toBe(false);
  });

  it('gets a number that no other has, and goes by it', () => {
    const three = withNote(withNote(withNote([], note), { ...note, text: 'b' }), { ...note, text: 'c' });
    const two = withoutNote(three, 2);
    expect(two.map(({ text }) => text)).toEqual(['new fluid', 'c']);
    expect(withNote(two, note).map(({ no }) => no)).toEqual([1, 3, 4]);
    expect(notesSchema.safeParse([...two, ...two]).success).toBe(false);
  });
});

describe('the list with notes', () => {
  it('gives back any text as it was written', () => {
    const text = fc.string({ minLength: 1, maxLength: 40, unit: 'grapheme' }).filter((each) => !/\p{Cc}/u.test(each));
    fc.assert(
      fc.property(fc.array(text, { maxLength: 5 }), (texts) => {
        const notes: readonly LogNote[] = texts.map((each, i) => ({
          no: i + 1,
          on: '2024-05-06',
          text: each,
          model: each,
        }));
        expect(readList(writeList({ loads: [], notes, quotes: [] }))?.notes).toEqual(notes);
      }),
    );
  });

  it('of an earlier version, without notes, is read', async () => {
    const folder = new MemoryFolder();
    const kept = await KeptLog.open(folder);
    await kept.add({ no: 1, at: '2026-01-02 08:00:00', demo: true, left_out: false, alone: false, files: [] });
    const { sha256 } = await import('@noble/hashes/sha2.js');
    const { bytesToHex, utf8ToBytes } = await import('@noble/hashes/utils.js');
    const text = JSON.stringify({ shimbook_kept: 1, loads: kept.loads });
    folder.files.set('list-9', new Blob([`${bytesToHex(sha256(utf8ToBytes(text)))}\n${text}`]));
    const again = await KeptLog.open(folder.reopened());
    expect([again.generation, again.loads.length, again.notes]).toEqual([9, 1, []]);
  });

  it('keeps notes when loads come and go, and loses them when everything is deleted', async () => {
    const folder = new MemoryFolder();
    const kept = await KeptLog.open(folder);
    const load = { at: '2026-01-02 08:00:00', demo: true, left_out: false, alone: false, files: [] };
    await kept.add({ no: 1, ...load });
    await kept.write(withNote([], note));
    await kept.add({ no: 2, ...load });
    await kept.drop(2);
    expect((await KeptLog.open(folder.reopened())).notes).toEqual([{ no: 1, ...note }]);
    await kept.clear();
    expect((await KeptLog.open(folder.reopened())).notes).toEqual([]);
  });
});
