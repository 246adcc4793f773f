import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { allVisible, asWritten, visible } from '../../lib/words/visible';

describe('text as a page shows it', () => {
  it.each([
    ['a turned order', 'K-\u202e21', 'K-⟨U+202E⟩21'],
    ['an isolate', '\u2067K\u2069', '⟨U+2067⟩K⟨U+2069⟩'],
    ['no width', 'K\u200b-1\ufeff', 'K⟨U+200B⟩-1⟨U+FEFF⟩'],
    ['a soft hyphen and a filler', 'K\u00ad1\u3164', 'K⟨U+00AD⟩1⟨U+3164⟩'],
    ['control characters', 'a\u0007\u001b[31m\u0085', 'a⟨U+0007⟩⟨U+001B⟩[31m⟨U+0085⟩'],
    ['letters of the tag plane', 'K\u{e0041}', 'K⟨U+E0041⟩'],
    ['a joiner in Latin', 'K\u200d1', 'K⟨U+200D⟩1'],
    ['the mark itself', '⟨U+202E⟩', '⟨U+27E8⟩U+202E⟩'],
  ])('%s is written out', (_, text, shown) => {
    expect(visible(text)).toBe(shown);
  });

  it.each(['K-1 <b>', 'two\nlines\tand', 'می\u200cخواهم', '👩\u200d🔧', '❤\ufe0f', 'אב-12', '⟨a⟩', 'é ß 漢字'])(
    '%j stays as it is',
    (text) => {
      expect(visible(text)).toBe(text);
    },
  );

  it('tells any two texts apart, and leads back to each', () => {
    const letters = fc.constantFrom(
      '\u202e',
      '\u200b',
      '\u200d',
      '\ufe0f',
      '⟨',
      '⟩',
      'U+202E',
      'U+27E8',
      'K',
      'م',
      '👩',
    );
    const text = fc.oneof(
      fc.array(letters).map((parts) => parts.join('')),
      fc.string({ unit: 'binary' }),
    );
    fc.assert(
      fc.property(text, (each) => {
        expect(asWritten(visible(each))).toBe(each);
      }),
      { numRuns: 1000 },
    );
  });

  it('is made of every text of an answer, and of nothing else', () => {
    expect(allVisible([{ id: 'a\u202e', n: 1, none: null, list: ['\u200b'], yes: true }])).toEqual([
      { id: 'a⟨U+202E⟩', n: 1, none: null, list: ['⟨U+200B⟩'], yes: true },
    ]);
  });
});
