import { z } from 'zod';
import { guessDelimiter, guessEncoding } from '../../lib/log/mapping/evidence';
import { fits, mappingSchema, type Mapping } from '../../lib/log/mapping/mapping';
import { guessHeaderRow } from '../../lib/log/mapping/headerRow';
import { decode, parseRows, type Delimiter, type Encoding, type Rows } from '../../lib/log/mapping/read';
import { recognise } from '../../lib/log/recognise';

/** The mappings kept in this browser, and the files that are read by them. */

const PLACE = 'shimbook.mappings';

class KeptMappings {
  private kept: readonly Mapping[] | null = null;
  private readonly listeners = new Set<() => void>();

  subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  read = (): readonly Mapping[] => {
    this.kept ??= stored();
    return this.kept;
  };

  /** Keeps a mapping in place of the one for the same headers. Answers whether it outlasts this tab. */
  keep = (mapping: Mapping): boolean =>
    this.write([...this.read().filter((each) => !fits(each, mapping.headers)), mapping]);

  forget = (mapping: Mapping): boolean => this.write(this.read().filter((each) => each !== mapping));

  private write(mappings: readonly Mapping[]): boolean {
    this.kept = mappings;
    for (const listener of this.listeners) listener();
    try {
      localStorage.setItem(PLACE, JSON.stringify(mappings));
      return true;
    } catch {
      // A full or barred store: the mappings hold as long as the tab is open.
      return false;
    }
  }
}

/** What the browser kept; an entry that is no mapping, of another version or by another hand, is passed over. */
function stored(): readonly Mapping[] {
  try {
    const entries = z.array(z.unknown()).safeParse(JSON.parse(localStorage.getItem(PLACE) ?? '[]'));
    return (entries.data ?? []).flatMap((entry) => {
      const mapping = mappingSchema.safeParse(entry);
      return mapping.success ? [mapping.data] : [];
    });
  } catch {
    return [];
  }
}

export const keptMappings = new KeptMappings();

/** As much of a sheet as is looked at before it is read. */
export const LOOKED_AT_BYTES = 1 << 16;

export interface SheetHead {
  readonly bytes: Uint8Array;
  /** Whether the sheet goes on after them. */
  readonly cut: boolean;
}

export async function headOf(blob: Blob): Promise<SheetHead> {
  const bytes = new Uint8Array(await blob.slice(0, LOOKED_AT_BYTES).arrayBuffer());
  return { bytes, cut: blob.size > bytes.length };
}

/** The whole lines of a sheet's first bytes. */
export function headText({ bytes, cut }: SheetHead, encoding: Encoding): ReturnType<typeof decode> {
  const text = decode(bytes, encoding, cut);
  if (!text.ok || !cut) return text;
  const end = text.text.lastIndexOf('\n');
  return end < 0 ? text : { ok: true, text: text.text.slice(0, end + 1) };
}

export function headRows(head: SheetHead, encoding: Encoding, delimiter: Delimiter): Rows {
  const text = headText(head, encoding);
  return text.ok ? parseRows(text.text, delimiter) : text;
}

/** Whether a file is a text in columns whose headers are no table's. */
export async function isForeignSheet(file: Blob): Promise<boolean> {
  const head = await headOf(file);
  const encoding = guessEncoding(head.bytes).value ?? 'utf-8';
  const text = headText(head, encoding);
  if (!text.ok || text.text.includes('\0') || /^(PAR1|PK)/.test(text.text)) return false;
  const delimiter = guessDelimiter(text.text).value;
  if (delimiter === null) return false;
  const rows = parseRows(text.text, delimiter);
  const plain = delimiter === ',' && encoding === 'utf-8';
  if (!rows.ok) return false;
  const header = rows.rows[(guessHeaderRow(rows.rows).value ?? 1) - 1] ?? [];
  // The log's own headers below a title are not found by themselves.
  return !(plain && header === rows.rows[0] && recognise(header).table !== null);
}
