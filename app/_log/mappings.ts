import { z } from 'zod';
import { fileHash, isGone, type LogFile } from '../../lib/log/inspect';
import { guessDelimiter, guessEncoding } from '../../lib/log/mapping/evidence';
import { fits, mappingSchema, type Mapping } from '../../lib/log/mapping/mapping';
import { asItIs, convertFile, mappingFor, type PreparedFile } from '../../lib/log/mapping/prepare';
import { decode, parseRows, type Delimiter, type Encoding, type Rows } from '../../lib/log/mapping/read';
import { refusal } from '../../lib/log/sentences';
import { recognise } from '../../lib/log/recognise';
import { tooLargeToMap } from '../../lib/words/mapping';

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
/** A larger sheet would hold the page up while it is converted. */
export const MOST_MAPPED_BYTES = 20_000_000;

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
  if (!text.ok || text.text.includes('\0') || /^(PAR1|PK\x03\x04)/.test(text.text)) return false;
  const delimiter = guessDelimiter(text.text).value;
  if (delimiter === null) return false;
  const rows = parseRows(text.text, delimiter);
  const plain = delimiter === ',' && encoding === 'utf-8';
  return rows.ok && !(plain && recognise(rows.rows[0] ?? []).table !== null);
}

/** A file as the log is to take it, and the file as it came, which may have given several. */
export interface Arrived extends PreparedFile {
  readonly origin: Origin;
}

export interface Origin {
  readonly name: string;
  readonly blob: Blob;
  /** SHA-256 of its bytes; null for a file that is taken as it is, which has the hash that is found looking it through. */
  readonly hash: string | null;
  readonly mappings: readonly Mapping[];
}

/** Files whose headers are those of a mapping are converted; all others are taken as they are. */
export async function prepare(
  files: readonly { readonly name: string; readonly blob: Blob }[],
  mappings: readonly Mapping[] = keptMappings.read(),
): Promise<Arrived[]> {
  const prepared = await Promise.all(
    files.map(async ({ name, blob }): Promise<Arrived[]> => {
      const file: LogFile = { name, blob, path: null };
      const plain: Origin = { name, blob, hash: null, mappings: [] };
      try {
        const mapping = await mappingFor(file, mappings, (each) => each);
        if (mapping === undefined) return [{ ...asItIs(file), origin: plain }];
        if (blob.size > MOST_MAPPED_BYTES) return [{ file, refused: tooLargeToMap, note: null, origin: plain }];
        const origin = { ...plain, hash: await fileHash(blob), mappings: [mapping] };
        return (await convertFile(file, mapping)).map((each) => ({ ...each, origin }));
      } catch (error) {
        if (!isGone(error)) throw error;
        return [{ file, refused: refusal.changed, note: null, origin: plain }];
      }
    }),
  );
  return prepared.flat();
}
