import { csvFormatValue } from 'd3-dsv';
import { TextParts } from './book';
import { cellText, type BookFacts } from './cells';
import { NOT_CALCULATED, UnreadableWorkbook, workbookSays } from './sentences';
import type { XmlReader } from './xml';

/** A sheet as comma separated text, each row in the row of the same number. */

/** Text of one sheet; a mapped file may be as large. */
export const MOST_TEXT = 1 << 28;
const MOST_ROWS = 1_048_576;
const MOST_COLUMNS = 16_384;
const LETTERS = 26;
const BEFORE_A = 64;
/** So many letters are handed over at once. */
const PIECE = 1 << 20;

export class SheetReader implements XmlReader {
  private readonly out = new CsvWriter();
  private readonly inline = new TextParts();
  private readonly merged: string[] = [];
  private readonly errors: string[] = [];
  private readonly uncalculated: string[] = [];
  private hiddenRows = 0;
  private row = 0;
  private column = 0;
  /** The row as far as it is read, and the last column that is filled in it. */
  private line = '';
  private filledTo = 0;
  private cell: { type: string; style: string | undefined; value: string; filled: boolean; formula: boolean } | null =
    null;
  private inValue = false;

  constructor(
    private readonly sheet: string,
    private readonly book: BookFacts,
    /** Letters that are left for this sheet of what its workbook may hold. */
    private readonly most = MOST_TEXT,
  ) {}

  get letters(): number {
    return this.out.letters;
  }

  open: XmlReader['open'] = (name, attribute) => {
    if (this.cell !== null) this.openInCell(name, this.cell);
    else if (name === 'row') {
      this.beginRow(attribute('r'));
      if (/^(1|true)$/.test(attribute('hidden') ?? '')) this.hiddenRows += 1;
    } else if (name === 'c' && this.row > 0) {
      this.beginCell(attribute('r'));
      this.cell = {
        type: attribute('t') ?? 'n',
        style: attribute('s'),
        value: '',
        filled: false,
        formula: false,
      };
      this.inline.clear();
    } else if (name === 'mergeCell') this.merged.push(attribute('ref') ?? '');
  };

  private openInCell(name: string, cell: { filled: boolean; formula: boolean }): void {
    if (name === 'v') {
      this.inValue = true;
      cell.filled = true;
    } else if (name === 'f') cell.formula = true;
    else if (name === 'is') cell.filled = true;
    else this.inline.open(name);
  }

  close = (name: string): void => {
    if (name === 'c') this.endCell();
    else if (this.cell !== null) {
      if (name === 'v') this.inValue = false;
      else this.inline.close(name);
    } else if (name === 'row') {
      this.out.add(this.row, this.line, this.filledTo);
      this.weigh(this.out.letters);
    }
  };

  text = (text: string): void => {
    if (this.cell === null) return;
    if (this.inValue) this.cell.value += text;
    else this.inline.add(text);
  };

  private beginRow(written: string | undefined): void {
    const row = written === undefined ? this.row + 1 : Number(written);
    if (!(Number.isInteger(row) && row > this.row && row <= MOST_ROWS)) this.astray();
    this.row = row;
    this.column = 0;
    this.line = '';
    this.filledTo = 0;
  }

  private beginCell(place: string | undefined): void {
    const column = place === undefined ? this.column + 1 : columnOf(place);
    if (!(column > this.column && column <= MOST_COLUMNS)) this.astray();
    this.column = column;
  }

  private endCell(): void {
    const { cell } = this;
    this.cell = null;
    if (cell === null) return;
    let text = cellText(cell.type === 'inlineStr' ? { ...cell, value: this.inline.text } : cell, this.book);
    if (text === null) return this.astray();
    if (cell.formula && !cell.filled) {
      text = NOT_CALCULATED;
      this.uncalculated.push(this.place());
    } else if (cell.type === 'e' && text !== '') this.errors.push(`${this.place()} ${text}`);
    if (text === '') return;
    this.line += `${','.repeat(this.column - Math.max(1, this.filledTo))}${csvFormatValue(text)}`;
    this.filledTo = this.column;
    // A long text that many cells name would fill the memory before its row ends.
    this.weigh(this.out.letters + this.line.length);
  }

  private weigh(letters: number): void {
    if (letters > this.most) throw new UnreadableWorkbook(workbookSays.sheetTooLarge(this.sheet, MOST_TEXT));
  }

  private place(): string {
    let letters = '';
    for (let left = this.column; left > 0; left = Math.floor((left - 1) / LETTERS)) {
      letters = String.fromCharCode(BEFORE_A + 1 + ((left - 1) % LETTERS)) + letters;
    }
    return `${letters}${this.row}`;
  }

  private astray(): never {
    throw new UnreadableWorkbook(workbookSays.rowsAstray(this.sheet));
  }

  /** The text, from its first row; null where no cell is filled. */
  blob(): Blob | null {
    return this.out.blob();
  }

  remarks(): string[] {
    return [
      ...(this.hiddenRows > 0 ? [workbookSays.hiddenRows(this.hiddenRows)] : []),
      ...(this.merged.length > 0 ? [workbookSays.merged(this.merged)] : []),
      ...(this.errors.length > 0 ? [workbookSays.errors(this.errors)] : []),
      ...(this.uncalculated.length > 0 ? [workbookSays.notCalculated(this.uncalculated)] : []),
    ];
  }
}

/** The number of the column in a place such as AB12; 0 where it names none. */
function columnOf(place: string): number {
  const [letters = ''] = /^[A-Z]{1,3}(?=\d+$)/.exec(place.replaceAll('$', '').toUpperCase()) ?? [];
  return Array.from(letters).reduce((sum, letter) => sum * LETTERS + letter.charCodeAt(0) - BEFORE_A, 0);
}

class CsvWriter {
  private handed = 0;
  private readonly pieces: BlobPart[] = [];
  private lines: string[] = [];
  private waiting = 0;
  private rows = 0;
  private width = 0;

  /** Rows that are left out, and those without a filled cell, become blank lines before the next filled one. */
  add(row: number, filled: string, columns: number): void {
    if (columns === 0) return;
    if (row === 1) this.width = columns;
    const blank = row - this.rows - 1;
    // Every row has the header's width, so that a reader sees as many cells in each.
    const line = `${filled}${','.repeat(Math.max(0, this.width - columns))}`;
    this.lines.push(`${'\n'.repeat(blank)}${line}\n`);
    this.rows = row;
    this.waiting += blank + line.length + 1;
    if (this.waiting > PIECE) this.hand();
  }

  get letters(): number {
    return this.handed + this.waiting;
  }

  private hand(): void {
    this.pieces.push(new Blob([this.lines.join('')]));
    this.handed += this.waiting;
    this.lines = [];
    this.waiting = 0;
  }

  blob(): Blob | null {
    if (this.rows === 0) return null;
    // The mark says UTF-8 to whoever reads it, whatever else a mapping states.
    return new Blob([BYTE_ORDER_MARK, ...this.pieces, this.lines.join('')]);
  }
}

const BYTE_ORDER_MARK = '\ufeff';
