import { refusal } from '../sentences';

/** From the bytes of a shop's own sheet to its rows of cells. */

export const encodings = ['utf-8', 'utf-16le', 'utf-16be', 'windows-1252'] as const;
export type Encoding = (typeof encodings)[number];
export const delimiters = [',', ';', '\t', '|', '~'] as const;
export type Delimiter = (typeof delimiters)[number];

export type Text = { readonly ok: true; readonly text: string } | { readonly ok: false; readonly reason: string };
export type Rows =
  | { readonly ok: true; readonly rows: readonly (readonly string[])[] }
  | { readonly ok: false; readonly reason: string };

const starts = (bytes: Uint8Array, ...mark: number[]): boolean => mark.every((byte, i) => bytes[i] === byte);

/** The encoding that a byte order mark at the start states; null where there is none. */
export function markedEncoding(bytes: Uint8Array): Encoding | null {
  if (starts(bytes, 0xef, 0xbb, 0xbf)) return 'utf-8';
  if (starts(bytes, 0xff, 0xfe)) return 'utf-16le';
  if (starts(bytes, 0xfe, 0xff)) return 'utf-16be';
  return null;
}

const names: Readonly<Record<Encoding, string>> = {
  'utf-8': 'UTF-8',
  'utf-16le': 'UTF-16 (little end first)',
  'utf-16be': 'UTF-16 (big end first)',
  'windows-1252': 'Windows-1252',
};

/**
 * The letters of 0x80 to 0x9f in Windows-1252 (Unicode's table of best fit); the five without one stay as they are. Some
 * decoders take that encoding for Latin-1, which has no letters there.
 */
const WINDOWS_LETTERS = '€\x81‚ƒ„…†‡ˆ‰Š‹Œ\x8dŽ\x8f\x90‘’“”•–—˜™š›œ\x9džŸ';
const FIRST_WINDOWS_LETTER = 0x80;

const withWindowsLetters = (text: string): string =>
  text.replace(/[\x80-\x9f]/g, (letter) => WINDOWS_LETTERS[letter.charCodeAt(0) - FIRST_WINDOWS_LETTER] ?? letter);

/** Text longer than this does not fit into one string everywhere. */
const MOST_BYTES = 1 << 28;

/**
 * The text of a sheet: by its byte order mark, else by the stated encoding. Never a text with letters replaced.
 *
 * @param cut whether these are the first bytes only, which may end within a letter
 */
export function decode(bytes: Uint8Array, stated: Encoding, cut = false): Text {
  if (bytes.length === 0) return { ok: false, reason: refusal.empty };
  if (bytes.length > MOST_BYTES) {
    return { ok: false, reason: 'A mapped file may be 256 MB at most. Part it into several files.' };
  }
  const encoding = markedEncoding(bytes) ?? stated;
  try {
    const text = new TextDecoder(encoding, { fatal: true }).decode(bytes, { stream: cut });
    return { ok: true, text: encoding === 'windows-1252' ? withWindowsLetters(text) : text };
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    return {
      ok: false,
      reason: `The text is not ${names[encoding]}, as the mapping says. Save it again so, or change the mapping.`,
    };
  }
}

/**
 * Takes a text apart into all its rows, blank ones too, so that the i-th is the one that a spreadsheet numbers i + 1.
 *
 * This is a reader of its own for two reasons. The row scanner of lib/log knows commas and keeps no cells. d3-dsv takes any
 * delimiter, but swallows all rows after a quote that is never closed, and loses the letter after a closed one
 * (`"12"mm` comes out as the cells 12 and m): here the first is refused with its row, and the second kept as written.
 */
export function parseRows(text: string, delimiter: Delimiter): Rows {
  const rows: string[][] = [];
  let row: string[] = [];
  let at = 0;
  const endOfPlain = new RegExp(delimiter === '|' ? '[|\\n\\r]' : `[${delimiter}\\n\\r]`, 'g');
  const plainEnd = (from: number): number => {
    endOfPlain.lastIndex = from;
    return endOfPlain.exec(text)?.index ?? text.length;
  };
  while (at < text.length) {
    let end: number;
    if (text.charCodeAt(at) === QUOTE) {
      const closing = closingQuote(text, at);
      if (closing === null) return { ok: false, reason: refusal.openQuote(rows.length + 1) };
      end = plainEnd(closing + 1);
      row.push(end === closing + 1 ? text.slice(at + 1, closing).replaceAll('""', '"') : text.slice(at, end));
    } else {
      end = plainEnd(at);
      row.push(text.slice(at, end));
    }
    if (end < text.length && text[end] === delimiter) {
      at = end + 1;
      if (at < text.length) continue;
      row.push('');
    }
    rows.push(row);
    row = [];
    at = text.startsWith('\r\n', end) ? end + 2 : Math.max(end + 1, at);
  }
  return { ok: true, rows };
}

const QUOTE = 0x22;

/** Where the quoted cell that opens at `start` closes; null where it never does. */
function closingQuote(text: string, start: number): number | null {
  for (let at = text.indexOf('"', start + 1); at >= 0; at = text.indexOf('"', at + 2)) {
    if (text.charCodeAt(at + 1) !== QUOTE) return at;
  }
  return null;
}
