import { fileHash, type LogFile } from '../inspect';
import { joined, type PreparedFile } from '../prepared';
import { BookReader, RelationsReader, StylesReader, TextsReader, type Named, type Related } from './book';
import type { BookFacts } from './cells';
import { shortName, UnreadableWorkbook, workbookSays } from './sentences';
import { MOST_TEXT, SheetReader } from './sheet';
import { readXml, type XmlReader } from './xml';
import { partsOf, unpack, weigh, type ZipPart } from './zip';

/** A workbook taken apart into its sheets, each as if it were a comma separated file. */

const starts = (bytes: Uint8Array, ...mark: number[]): boolean => mark.every((byte, i) => bytes[i] === byte);
const PASSWORD_SEARCHED = 1 << 26;

/** The sheets of a workbook as files of the log, or the workbook refused with its reason; null for any other file. */
export async function sheetsOf(file: LogFile): Promise<PreparedFile[] | null> {
  const head = new Uint8Array(await file.blob.slice(0, 8).arrayBuffer());
  try {
    if (starts(head, 0xd0, 0xcf, 0x11, 0xe0)) throw new UnreadableWorkbook(await oldKind(file.blob));
    const isZip = starts(head, 0x50, 0x4b, 3, 4) || starts(head, 0x50, 0x4b, 5, 6);
    return isZip ? await taken(file) : null;
  } catch (error) {
    if (!(error instanceof UnreadableWorkbook)) throw error;
    return [{ file, refused: error.message, note: null }];
  }
}

/** The container of old workbooks also holds those under a password: it then has a part of this name. */
async function oldKind(blob: Blob): Promise<string> {
  const text = new TextDecoder('latin1').decode(await blob.slice(0, PASSWORD_SEARCHED).arrayBuffer());
  return text.includes(Array.from('EncryptedPackage').join('\0')) ? workbookSays.password : workbookSays.oldBinary;
}

async function taken(file: LogFile): Promise<PreparedFile[]> {
  const archive = await Archive.open(file.blob);
  const { book, related, facts } = await bookOf(archive);
  const origin = { name: file.name, bytes: file.blob.size, hash: await fileHash(file.blob) };
  const sheets: PreparedFile[] = [];
  const left: string[] = [];
  const read = new Set<string>();
  let letters = 0;
  for (const sheet of book.sheets) {
    const named = { ...sheet, name: shortName(sheet.name) };
    const { kind, part } = related.get(named.id) ?? { kind: '', part: '' };
    if (kind !== 'worksheet') {
      left.push(`${named.name} (${kind === 'chartsheet' ? 'a chart' : 'no sheet of cells'})`);
      continue;
    }
    // Each part is weighed once: a sheet named a thousand times would unpack a thousand times.
    if (read.has(plainName(part))) throw new UnreadableWorkbook(workbookSays.damaged(named.name));
    read.add(plainName(part));
    const reader = new SheetReader(named.name, facts, MOST_TEXT - letters);
    await archive.read(part, reader);
    letters += reader.letters;
    const blob = reader.blob();
    if (blob === null) left.push(`${named.name} (empty)`);
    else sheets.push(asFile(file, named, blob, { ...origin, sheet: named.name }, reader));
  }
  const [first, ...others] = sheets;
  if (first === undefined) throw new UnreadableWorkbook(workbookSays.nothing(left));
  return left.length === 0 ? sheets : [{ ...first, note: joined(first.note, workbookSays.left(left)) }, ...others];
}

function asFile(
  file: LogFile,
  { name, hidden }: Named,
  blob: Blob,
  origin: NonNullable<LogFile['origin']>,
  reader: SheetReader,
): PreparedFile {
  return {
    file: { name: `${file.name} / ${name}`, blob, path: null, origin },
    refused: null,
    note: joined(hidden ? workbookSays.hidden : null, ...reader.remarks()),
  };
}

interface Book {
  readonly book: BookReader;
  readonly related: ReadonlyMap<string, Related>;
  readonly facts: BookFacts;
}

async function bookOf(archive: Archive): Promise<Book> {
  const roots = new RelationsReader('');
  await archive.readIfThere('_rels/.rels', roots);
  const root = [...roots.related.values()].find(({ kind }) => kind === 'officeDocument')?.part ?? 'xl/workbook.xml';
  if (!archive.has(root)) throw new UnreadableWorkbook(workbookSays.noWorkbook);
  const folder = root.slice(0, root.lastIndexOf('/') + 1);
  const relations = new RelationsReader(folder);
  await archive.readIfThere(`${folder}_rels/${root.slice(folder.length)}.rels`, relations);
  const book = new BookReader();
  await archive.read(root, book);
  if (book.sheets.length === 0) throw new UnreadableWorkbook(workbookSays.noWorkbook);
  const texts = new TextsReader();
  const styles = new StylesReader();
  const place = (wanted: string): string =>
    [...relations.related.values()].find(({ kind }) => kind === wanted)?.part ?? '';
  await archive.readIfThere(place('sharedStrings'), texts);
  await archive.readIfThere(place('styles'), styles);
  const facts = { texts: texts.texts, shown: styles.shown, since1904: book.since1904 };
  return { book, related: relations.related, facts };
}

/** The archive that a workbook is, its parts found without regard to capitals and kinds of stroke. */
class Archive {
  private constructor(
    private readonly blob: Blob,
    private readonly parts: ReadonlyMap<string, ZipPart>,
  ) {}

  static async open(blob: Blob): Promise<Archive> {
    const listed = await partsOf(blob);
    const parts = new Map([...listed].map(([name, part]) => [plainName(name), part]));
    if (parts.has('xl/workbook.bin')) throw new UnreadableWorkbook(workbookSays.binary);
    if (parts.has('content.xml') && parts.has('mimetype')) throw new UnreadableWorkbook(workbookSays.openDocument);
    // Pictures and the like are never unpacked, and so not weighed.
    weigh([...parts].flatMap(([name, part]) => (UNPACKED.test(name) ? [part] : [])));
    return new Archive(blob, parts);
  }

  has(name: string): boolean {
    return this.parts.has(plainName(name));
  }

  async read(name: string, reader: XmlReader): Promise<void> {
    const part = this.parts.get(plainName(name));
    if (part === undefined || !UNPACKED.test(part.name))
      throw new UnreadableWorkbook(workbookSays.damaged(name === '' ? 'a sheet' : name));
    await readXml(unpack(this.blob, part), part.name, reader);
  }

  async readIfThere(name: string, reader: XmlReader): Promise<void> {
    if (this.has(name)) await this.read(name, reader);
  }
}

const UNPACKED = /\.(xml|rels)$/i;
const plainName = (name: string): string => name.replaceAll('\\', '/').replace(/^\//, '').toLowerCase();
