import { describe, expect, it } from 'vitest';
import { checkArchive, takeOut } from '../../lib/keep/archive';
import { KeptLog } from '../../lib/keep/kept';
import { quotesSchema, withoutQuote, withQuote, type KeptQuote } from '../../lib/keep/quotes';
import { MemoryFolder } from './memoryFolder';

const quote = (number: string) => ({ shimbook_quote: 1, number, remarks: 'new <b>barrels</b>' });
const kept = (...numbers: readonly string[]): readonly KeptQuote[] =>
  numbers.reduce<readonly KeptQuote[]>((held, number) => withQuote(held, quote(number)) ?? held, []);
const load = { at: '2026-01-02 08:00:00', demo: true, left_out: false, alone: false, files: [] };

describe('kept quotes', () => {
  it('get a number that no other has, and go by it', () => {
    const two = withoutQuote(kept('a', 'b', 'c'), 2);
    expect(two.map(({ document }) => document)).toEqual([quote('a'), quote('c')]);
    expect(withQuote(two, quote('d'))?.map(({ no }) => no)).toEqual([1, 3, 4]);
    expect(quotesSchema.safeParse([...two, ...two]).success).toBe(false);
  });

  it.each([
    ['no quote', null],
    ['a text', 'quote'],
    ['longer than any', { text: 'x'.repeat(100_001) }],
  ])('are refused where it is %s', (_, wrong) => {
    expect(withQuote([], wrong)).toBeNull();
  });

  it('stay when loads and notes come and go, and go when everything is deleted', async () => {
    const folder = new MemoryFolder();
    const log = await KeptLog.open(folder);
    await log.add({ no: 1, ...load });
    await log.writeQuotes(kept('a', 'b'));
    await log.write([{ no: 1, on: '2024-05-06', text: 'new fluid', model: null }]);
    await log.add({ no: 2, ...load });
    await log.drop(2);
    const again = await KeptLog.open(folder.reopened());
    expect([again.quotes, again.notes.length]).toEqual([kept('a', 'b'), 1]);
    await log.clear();
    expect((await KeptLog.open(folder.reopened())).quotes).toEqual([]);
  });

  it('go into the archive and come back, also those that this version can not read', async () => {
    const log = await KeptLog.open(new MemoryFolder());
    await log.add({ no: 1, ...load });
    const quotes = [...kept('a'), { no: 7, document: { shimbook_quote: 99, later: [1, 2] } }];
    await log.writeQuotes(quotes);
    const taken = await takeOut(log, []);
    if (!taken.ok) throw new Error(taken.reason);
    const found = await checkArchive(taken.archive);
    if (!found.ok) throw new Error(found.reason);
    expect(found.archive.quotes).toEqual(quotes);
    const folder = new MemoryFolder();
    const other = await KeptLog.open(folder);
    await other.replace(found.archive.loads, found.archive.files, found.archive.notes, found.archive.quotes);
    expect((await KeptLog.open(folder.reopened())).quotes).toEqual(quotes);
  });
});
