import { unescaped } from './cells';
import { builtInShown, shownBy, type Shown } from './dates';
import type { XmlReader } from './xml';

/** What a workbook says of itself before its sheets: which there are, its texts, and which formats show days. */

export interface Named {
  readonly name: string;
  readonly hidden: boolean;
  /** By what the workbook's list of parts knows it. */
  readonly id: string;
}

export class BookReader implements XmlReader {
  readonly sheets: Named[] = [];
  since1904 = false;

  open: XmlReader['open'] = (name, attribute) => {
    if (name === 'workbookPr') this.since1904 = /^(1|true)$/.test(attribute('date1904') ?? '');
    if (name !== 'sheet') return;
    this.sheets.push({
      name: unescaped(attribute('name') ?? ''),
      hidden: /hidden/i.test(attribute('state') ?? ''),
      id: attribute('id') ?? '',
    });
  };
}

export interface Related {
  /** `worksheet`, `chartsheet`, `styles` and so on: the end of what the relation is named by. */
  readonly kind: string;
  readonly part: string;
}

/** The parts that a part refers to, by id; places are worked out from the folder that it lies in. */
export class RelationsReader implements XmlReader {
  readonly related = new Map<string, Related>();

  constructor(private readonly folder: string) {}

  open: XmlReader['open'] = (name, attribute) => {
    if (name !== 'Relationship' || attribute('TargetMode') === 'External') return;
    const target = attribute('Target') ?? '';
    this.related.set(attribute('Id') ?? '', {
      kind: (attribute('Type') ?? '').split('/').at(-1) ?? '',
      part: target.startsWith('/') ? target.slice(1) : placeOf(`${this.folder}${target}`),
    });
  };
}

function placeOf(path: string): string {
  const steps: string[] = [];
  for (const step of path.split('/')) {
    if (step === '..') steps.pop();
    else if (step !== '.' && step !== '') steps.push(step);
  }
  return steps.join('/');
}

/** The workbook's texts, which cells name by number. */
export class TextsReader implements XmlReader {
  readonly texts: string[] = [];
  private readonly item = new TextParts();

  open: XmlReader['open'] = (name) => {
    if (name === 'si') this.item.clear();
    this.item.open(name);
  };
  close = (name: string): void => {
    this.item.close(name);
    if (name === 'si') this.texts.push(unescaped(this.item.text));
  };
  text = (text: string): void => {
    this.item.add(text);
  };
}

/** A text in pieces, each in its own type face; how East Asian words sound stands beside it and is no part of it. */
export class TextParts {
  text = '';
  private within = false;
  private sound = false;

  clear(): void {
    this.text = '';
  }
  open(name: string): void {
    if (name === 't') this.within = true;
    if (name === 'rPh') this.sound = true;
  }
  close(name: string): void {
    if (name === 't') this.within = false;
    if (name === 'rPh') this.sound = false;
  }
  add(text: string): void {
    if (this.within && !this.sound) this.text += text;
  }
}

/** What each style of cells shows, in the order that cells name them by. */
export class StylesReader implements XmlReader {
  readonly shown: Shown[] = [];
  private readonly written = new Map<number, Shown>();
  private place: 'numFmts' | 'cellXfs' | null = null;

  open: XmlReader['open'] = (name, attribute) => {
    if (name === 'numFmts' || name === 'cellXfs') this.place = name;
    else if (name === 'numFmt' && this.place === 'numFmts') {
      this.written.set(Number(attribute('numFmtId')), shownBy(attribute('formatCode') ?? ''));
    } else if (name === 'xf' && this.place === 'cellXfs') {
      const id = Number(attribute('numFmtId') ?? '0');
      this.shown.push(this.written.has(id) ? (this.written.get(id) ?? null) : builtInShown(id));
    }
  };
  close = (name: string): void => {
    if (name === this.place) this.place = null;
  };
}
