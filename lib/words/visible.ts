/**
 * Text out of a log as a page shows it. Letters that can't be seen, and those that turn the order of others round, are written out as
 * ⟨U+202E⟩: two serial numbers that differ look different, and none reads as another one. What is stored, asked for and exported
 * stays as it was written.
 */

/** Control and format characters and all that is drawn as nothing; tabs and ends of lines are only room. */
const HIDDEN = /(?![\t\n\r])[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Default_Ignorable_Code_Point}]|⟨(?=U\+[0-9A-F]{4,6}⟩)/gu;
/** Joiners and choices of form are part of how some scripts and pictures are written, and of nothing in plain Latin. */
const JOINER = /^[\u200c\u200d\ufe0e\ufe0f]$/;
const PART_OF_SCRIPT = /[^\p{ASCII}\p{Cc}\p{Cf}\p{Default_Ignorable_Code_Point}]$|[^\p{ASCII}]\ufe0f$/u;
const WRITTEN_OUT = /⟨U\+([0-9A-F]{4,6})⟩/g;

const writtenOut = (letter: string): string =>
  `⟨U+${(letter.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}⟩`;

export const visible = (text: string): string =>
  text.replace(HIDDEN, (letter: string, at: number) =>
    JOINER.test(letter) && PART_OF_SCRIPT.test(text.slice(Math.max(0, at - 4), at)) ? letter : writtenOut(letter),
  );

/** Plain Latin hides nothing: most texts are told by this alone, in a tenth of the time. */
const PLAIN = /^[ -~]*$/;

/** The way back: what stands in the log for a text as it is shown. */
export const asWritten = (shown: string): string =>
  shown.replace(WRITTEN_OUT, (mark, hex: string) => {
    const code = Number.parseInt(hex, 16);
    return code <= 0x10ffff ? String.fromCodePoint(code) : mark;
  });

/** Every text in an answer of the log, made visible; what has nothing to be made visible is handed back as it is. */
export function allVisible<T>(value: T): T {
  return made(value) as T;
}

function made(value: unknown): unknown {
  if (typeof value === 'string') return PLAIN.test(value) ? value : visible(value);
  if (Array.isArray(value)) {
    const list: readonly unknown[] = value;
    const after = list.map(made);
    return after.every((each, k) => Object.is(each, list[k])) ? list : after;
  }
  if (typeof value !== 'object' || value === null || Object.getPrototypeOf(value) !== Object.prototype) return value;
  const entries = Object.entries(value);
  const after = entries.map(([, each]) => made(each));
  if (after.every((each, k) => Object.is(each, entries[k]?.[1]))) return value;
  return Object.fromEntries(entries.map(([key], k): [string, unknown] => [key, after[k]]));
}
