import type { LogFile } from './inspect';
import { refusal } from './sentences';

export interface TextScan {
  /** Why the text can't be taken apart into rows, as a sentence; null where it can. */
  readonly failed: string | null;
  /** Rows without any cell, counted as a spreadsheet counts (the header is row 1), ascending. */
  readonly blankRows: readonly number[];
  readonly rows: number;
  /** Whether rows end in more than one way, or in CR alone. */
  readonly mixedLineEnds: boolean;
}

const QUOTE = 0x22;
const COMMA = 0x2c;
const LINE_FEED = 0x0a;
const RETURN = 0x0d;

/** Shorter rows are not looked at for how many cells they have; the header always is. */
const LONG_ROW = 1 << 13;
/**
 * The database notes each cell beyond the header with the text of its row, so that a row of a million cells would be noted a million
 * times: so many letters it may note in all, of long rows.
 */
const MOST_NOTED = 1 << 28;

/** Where in a cell the scan is (RFC 4180). */
const enum Place {
  CellStart,
  Plain,
  Quoted,
  AfterQuote,
}

const PIECE_BYTES = 1 << 23;

/** A file's bytes in pieces that fit in memory whatever its size; large ones, since each costs a turn of the event loop. */
export async function* pieces(blob: Blob): AsyncGenerator<Uint8Array<ArrayBuffer>> {
  for (let start = 0; start < blob.size; start += PIECE_BYTES) {
    yield new Uint8Array(await blob.slice(start, start + PIECE_BYTES).arrayBuffer());
  }
}

/**
 * Follows the rows of a comma separated text without keeping them. The database skips blank rows, and everything after a
 * quote that is never closed, without a word; this pass finds them, so that no row vanishes and every row keeps the number
 * under which a person finds it.
 */
export class RowScanner {
  readonly blankRows: number[] = [];
  row = 1;
  private place: Place = Place.CellStart;
  private filled = false;
  private before = 0;
  private plainEnds = 0;
  private returnEnds = 0;
  private loneEnds = 0;
  private quoteRow = 0;
  /** Whether a cell of the header goes on behind its closing quote: the database takes the rows after it for part of that cell. */
  private headerStrays = false;
  /** Of the row that is under way. */
  private bytes = 0;
  private commas = 0;
  private headerCommas = 0;
  private noted = 0;
  private notedRow = 0;
  sawNul = false;

  add(piece: Uint8Array): void {
    if (piece.includes(0)) this.sawNul = true;
    // Most logs hold no quote at all: there every line feed ends a row, and the search for it runs at memory speed.
    const within = this.place === Place.Quoted || this.place === Place.AfterQuote;
    if (within || piece.includes(QUOTE) || this.hasLoneReturn(piece)) this.addByByte(piece);
    else this.addUnquoted(piece);
  }

  /** Whether a CR stands in the piece, or right before it, with another byte than LF after it. */
  private hasLoneReturn(piece: Uint8Array): boolean {
    if (this.before === RETURN && piece.length > 0 && piece[0] !== LINE_FEED) return true;
    for (let at = piece.indexOf(RETURN); at >= 0 && at + 1 < piece.length; at = piece.indexOf(RETURN, at + 1)) {
      if (piece[at + 1] !== LINE_FEED) return true;
    }
    return false;
  }

  /** Counts a stretch of the row that is under way; its commas only where they matter. */
  private addStretch(piece: Uint8Array, start: number, end: number, whole: boolean): void {
    this.bytes += end - start;
    if (whole && this.row > 1 && this.bytes < LONG_ROW) return;
    for (let at = piece.indexOf(COMMA, start); at >= 0 && at < end; at = piece.indexOf(COMMA, at + 1)) this.commas += 1;
  }

  private addUnquoted(piece: Uint8Array): void {
    let start = 0;
    for (let end = piece.indexOf(LINE_FEED); end >= 0; end = piece.indexOf(LINE_FEED, start)) {
      const last = end > 0 ? (piece[end - 1] ?? 0) : this.before;
      this.filled ||= end - start > 1 || (end > start && last !== RETURN);
      this.before = last;
      this.addStretch(piece, start, end, true);
      this.endRow();
      start = end + 1;
      this.before = LINE_FEED;
    }
    if (start === piece.length) return;
    this.addStretch(piece, start, piece.length, false);
    const last = piece[piece.length - 1] ?? 0;
    this.filled ||= piece.length - start > 1 || last !== RETURN;
    this.place = last === COMMA ? Place.CellStart : this.filled ? Place.Plain : Place.CellStart;
    this.before = last;
  }

  private addByByte(piece: Uint8Array): void {
    for (let i = 0; i < piece.length; i += 1) {
      const byte = piece[i] ?? 0;
      if (this.before === RETURN && byte !== LINE_FEED && this.place !== Place.Quoted) this.endLoneRow();
      this.bytes += 1;
      if (this.place === Place.Quoted) {
        if (byte === QUOTE) this.place = Place.AfterQuote;
      } else if (byte === LINE_FEED) {
        this.endRow();
      } else if (byte === QUOTE) {
        this.filled = true;
        if (this.place === Place.CellStart) {
          this.place = Place.Quoted;
          this.quoteRow = this.row;
        } else if (this.place === Place.AfterQuote) {
          this.place = Place.Quoted;
        }
      } else if (byte === COMMA) {
        this.commas += 1;
        this.filled = true;
        this.place = Place.CellStart;
      } else if (byte !== RETURN) {
        if (this.row === 1 && this.place === Place.AfterQuote) this.headerStrays = true;
        this.filled = true;
        this.place = Place.Plain;
      }
      this.before = byte;
    }
  }

  private endRow(): void {
    if (this.before === RETURN) this.returnEnds += 1;
    else this.plainEnds += 1;
    this.nextRow();
  }

  private endLoneRow(): void {
    this.loneEnds += 1;
    this.nextRow();
  }

  private nextRow(): void {
    if (!this.filled) this.blankRows.push(this.row);
    this.weighRow();
    this.bytes = 0;
    this.commas = 0;
    this.row += 1;
    this.filled = false;
    this.place = Place.CellStart;
  }

  private weighRow(): void {
    if (this.row === 1) this.headerCommas = this.commas;
    else if (this.bytes >= LONG_ROW && this.commas > this.headerCommas) {
      this.noted += (this.commas - this.headerCommas) * this.bytes;
      if (this.noted > MOST_NOTED && this.notedRow === 0) this.notedRow = this.row;
    }
  }

  result(): TextScan {
    const open = this.place === Place.Quoted;
    if (!open && this.before === RETURN) this.endLoneRow();
    else this.weighRow();
    return {
      failed: this.sawNul
        ? refusal.binary
        : open
          ? refusal.openQuote(this.quoteRow)
          : this.headerStrays
            ? refusal.headerQuote
            : this.notedRow > 0
              ? refusal.tooManyCells(this.notedRow)
              : null,
      blankRows: this.blankRows,
      rows: this.filled ? this.row : this.row - 1,
      mixedLineEnds: this.loneEnds > 0 || (this.plainEnds > 0 && this.returnEnds > 0),
    };
  }
}

/** One pass over the bytes of a text: whether they are UTF-8, and how its rows lie. */
export async function scanText(blob: Blob): Promise<TextScan> {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  const scanner = new RowScanner();
  const decodes = (piece?: Uint8Array<ArrayBuffer>): boolean => {
    try {
      decoder.decode(piece, { stream: piece !== undefined });
      return true;
    } catch (error) {
      if (error instanceof TypeError) return false;
      throw error;
    }
  };
  const notUtf8 = (row: number): TextScan => ({ ...scanner.result(), failed: refusal.notUtf8(row) });
  for await (const piece of pieces(blob)) {
    if (!decodes(piece)) return notUtf8(scanner.row + lineOfFirstBadByte(piece));
    scanner.add(piece);
  }
  return decodes() ? scanner.result() : notUtf8(scanner.row);
}

function lineOfFirstBadByte(piece: Uint8Array): number {
  const good = new TextDecoder('utf-8').decode(piece).split('\ufffd')[0] ?? '';
  return good.split('\n').length - 1;
}

/** The same text with every row ending in LF alone; the file as it came, and what stands in quotes, is left as it is. */
export async function withPlainLineEnds(file: LogFile): Promise<LogFile> {
  const kept: BlobPart[] = [];
  const ends = new PlainEnds();
  for await (const piece of pieces(file.blob)) kept.push(ends.of(piece));
  return { name: file.name, blob: new Blob(kept), path: null };
}

/** Follows quotes as RowScanner does: one opens at the start of a cell only. */
class PlainEnds {
  private place: Place = Place.CellStart;
  private before = 0;

  of(piece: Uint8Array): Uint8Array<ArrayBuffer> {
    const out = new Uint8Array(piece.length);
    let length = 0;
    for (const byte of piece) {
      const quoted = this.place === Place.Quoted;
      const isSecond = !quoted && byte === LINE_FEED && this.before === RETURN;
      this.before = byte;
      if (isSecond) continue;
      out[length] = !quoted && byte === RETURN ? LINE_FEED : byte;
      length += 1;
      if (quoted) {
        if (byte === QUOTE) this.place = Place.AfterQuote;
      } else if (byte === LINE_FEED || byte === RETURN || byte === COMMA) this.place = Place.CellStart;
      else if (byte === QUOTE && this.place !== Place.Plain) this.place = Place.Quoted;
      else this.place = Place.Plain;
    }
    return out.subarray(0, length);
  }
}
