import { describe, expect, it } from 'vitest';
import { fileHash } from '../../lib/log/inspect';
import { newsOf } from '../../lib/keep/recent';

const file = (name: string, text: string, lastModified = 1000): File => new File([text], name, { lastModified });
const hashOf = (text: string): Promise<string> => fileHash(new Blob([text]));
const names = (files: readonly File[]): string[] => files.map(({ name }) => name);

describe('a folder that is read again', () => {
  it('gives all its files the first time', async () => {
    const news = await newsOf([file('a.csv', 'one'), file('b.csv', 'two')], [], new Set());
    expect(names(news.fresh)).toEqual(['a.csv', 'b.csv']);
    expect(news.seen.map(({ hash }) => hash)).toEqual([await hashOf('one'), await hashOf('two')]);
  });

  it('gives only what is new or changed after that', async () => {
    const first = [file('a.csv', 'one'), file('b.csv', 'two')];
    const held = new Set([await hashOf('one'), await hashOf('two')]);
    const { seen } = await newsOf(first, [], new Set());
    const next = [file('a.csv', 'one'), file('b.csv', 'TWO', 2000), file('c.csv', 'three')];
    const news = await newsOf(next, seen, held);
    expect(names(news.fresh)).toEqual(['b.csv', 'c.csv']);
    expect(news.known).toBe(1);
  });

  it('passes over a file that was touched or renamed and has the same bytes', async () => {
    const held = new Set([await hashOf('one')]);
    const { seen } = await newsOf([file('a.csv', 'one')], [], new Set());
    expect((await newsOf([file('a.csv', 'one', 9000), file('copy.csv', 'one')], seen, held)).fresh).toEqual([]);
  });

  it('gives a file again that the log no longer has', async () => {
    const { seen } = await newsOf([file('a.csv', 'one')], [], new Set());
    expect(names((await newsOf([file('a.csv', 'one')], seen, new Set())).fresh)).toEqual(['a.csv']);
  });

  it('does not read a file again whose name, size and date are as they were', async () => {
    const { seen } = await newsOf([file('a.csv', 'one')], [], new Set());
    const unread = file('a.csv', 'eno');
    expect((await newsOf([unread], seen, new Set([await hashOf('one')]))).fresh).toEqual([]);
  });
});
