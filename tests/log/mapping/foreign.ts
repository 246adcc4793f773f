import { dsvFormat } from 'd3-dsv';
import type { Delimiter, Encoding } from '../../../lib/log/mapping/read';
import type { DateOrder, DecimalSign } from '../../../lib/log/mapping/notation';

/** Writes rows as another shop would: the way back of what lib/log/mapping reads, with figures of its own. */

export interface Layout {
  readonly encoding: Encoding;
  readonly mark: boolean;
  readonly delimiter: Delimiter;
  readonly decimal: DecimalSign;
  readonly dates: DateOrder;
}

export const numberIn = (value: number, decimals: number, { decimal }: Layout): string =>
  decimal === 'comma' ? value.toFixed(decimals).replace('.', ',') : value.toFixed(decimals);

export function dayIn(iso: string, { dates }: Layout): string {
  const [year = '', month = '', day = ''] = iso.split('-');
  if (iso === '') return '';
  return dates === 'iso' ? iso : dates === 'dmy' ? `${day}/${month}/${year}` : `${month}/${day}/${year}`;
}

export const sheetText = (rows: readonly (readonly string[])[], { delimiter }: Layout): string =>
  `${dsvFormat(delimiter).formatRows(rows.map((row) => [...row]))}\r\n`;

/** Letters of Windows-1252 that Latin-1 has not (Unicode consortium, CP1252.TXT); those used here. */
const WINDOWS: Readonly<Record<string, number>> = { '€': 0x80, '…': 0x85, Š: 0x8a, '’': 0x92, '–': 0x96, Ÿ: 0x9f };

export function bytesOf(text: string, { encoding, mark }: Layout): Uint8Array<ArrayBuffer> {
  const marked = mark && encoding !== 'windows-1252' ? `\ufeff${text}` : text;
  if (encoding === 'utf-8') return new Uint8Array(new TextEncoder().encode(marked));
  if (encoding === 'windows-1252') return Uint8Array.from(text, (letter) => WINDOWS[letter] ?? letter.charCodeAt(0));
  const little = Buffer.from(marked, 'utf16le');
  return new Uint8Array(encoding === 'utf-16le' ? little : little.swap16());
}

/** Sources in a mapping. */
export const header = (name: string) => ({ from: 'header', header: name });
export const constant = (value: string) => ({ from: 'constant', value });
