import type { LogFile } from './inspect';
import { refusal } from './sentences';

export interface TextScan {
  /** Why the text can't be taken apart into rows, as a sentence; null where it can. */
  readonly failed: string | null;
  /** Rows without any cell, counted as a spreadsheet counts (the header is row 1), ascending. */
  readonly blankRows: readonly number[];
  readonly rows: number;
  /** Whether some rows end in CR LF and others in LF alone. */
  readonly mixedLineEnds: boolean;
}

const QUOTE = 0x22;
const COMMA = 0x2c;
const LINE_FEED = 0x0a;
const RETURN = 0x0d;

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
  private quoteRow = 0;
  sawNul = false;

  add(piece: Uint8Array): void {
    if (piece.includes(0)) this.sawNul = true;
    // Most logs hold no quote at all: there every line feed ends a row, and the search for it runs at memory speed.
    if (this.place === Place.Quoted || this.place === Place.AfterQuote || piece.includes(QUOTE)) this.addByByte(piece);
    else this.addUnquoted(piece);
  }

  private addUnquoted(piece: Uint8Array): void {
    let start = 0;
    for (let end = piece.indexOf(LINE_FEED); end >= 0; end = piece.indexOf(LINE_FEED, start)) {
      const last = end > 0 ? (piece[end - 1] ?? 0) : this.before;
      this.filled ||= end - start > 1 || (end > start && last !== RETURN);
      this.before = last;
      this.endRow();
      start = end + 1;
      this.before = LINE_FEED;
    }
    if (start === piece.length) return;
    const last = piece[piece.length - 1] ?? 0;
    this.filled ||= piece.length - start > 1 || last !== RETURN;
    this.place = last === COMMA ? Place.CellStart : this.filled ? Place.Plain : Place.CellStart;
    this.before = last;
  }

  private addByByte(piece: Uint8Array): void {
    for (let i = 0; i < piece.length; i += 1) {
      const byte = piece[i] ?? 0;
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
        this.filled = true;
        this.place = Place.CellStart;
      } else if (byte !== RETURN) {
        this.filled = true;
        this.place = Place.Plain;
      }
      this.before = byte;
    }
  }

  private endRow(): void {
    if (!this.filled) this.blankRows.push(this.row);
    if (this.before === RETURN) this.returnEnds += 1;
    else this.plainEnds += 1;
    this.row += 1;
    this.filled = false;
    this.place = Place.CellStart;
  }

  result(): TextScan {
    return {
      failed: this.sawNul ? refusal.binary : this.place === Place.Quoted ? refusal.openQuote(this.quoteRow) : null,
      blankRows: this.blankRows,
      rows: this.filled ? this.row : this.row - 1,
      mixedLineEnds: this.plainEnds > 0 && this.returnEnds > 0,
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

/** The same text with every row ending in LF alone; the file as it came is left as it is. */
export async function withPlainLineEnds(file: LogFile): Promise<LogFile> {
  const kept: BlobPart[] = [];
  for await (const piece of pieces(file.blob)) kept.push(piece.filter((byte) => byte !== RETURN));
  return { name: file.name, blob: new Blob(kept), path: null };
}
