import { pieces } from '../log/scan';

/**
 * ZIP archives as far as taking the log along needs them (PKWARE's APPNOTE 6.3.10). Written archives are stored, not
 * deflated: the archive is then a list of references to the files on disk and of a few short headers, and is never in memory
 * as a whole, whatever its size. Archives packed anew by another program, deflated, are read as well.
 */

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const END_64 = 0x06064b50;
const LOCATOR_64 = 0x07064b50;

const STORED = 0;
const DEFLATED = 8;
const UTF_8 = 0x800;
const VERSION = 45;
/** 1 January 1980, the first day the format knows: the same log gives the same archive. */
const DAY = 0x21;
const FULL = 0xffffffff;
const FULL_COUNT = 0xffff;

const table = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k += 1) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
  return c;
});

/** The checksum of the format, CRC-32, of a whole file. */
export async function crc32(blob: Blob): Promise<number> {
  let crc = FULL;
  for await (const piece of pieces(blob)) {
    for (const byte of piece) crc = (table[(crc ^ byte) & 0xff] ?? 0) ^ (crc >>> 8);
  }
  return (crc ^ FULL) >>> 0;
}

/** Numbers one after the other, little end first. */
class Fields {
  private readonly bytes: number[] = [];

  add(size: 2 | 4 | 8, value: number): this {
    let left = value;
    for (let i = 0; i < size; i += 1) {
      this.bytes.push(left % 256);
      left = Math.floor(left / 256);
    }
    return this;
  }

  done(): Uint8Array<ArrayBuffer> {
    return Uint8Array.from(this.bytes);
  }
}

export interface ZipFile {
  readonly name: string;
  readonly blob: Blob;
}

const name64 = (values: readonly number[]): Uint8Array<ArrayBuffer> => {
  const extra = new Fields().add(2, 1).add(2, 8 * values.length);
  for (const value of values) extra.add(8, value);
  return extra.done();
};

/** The fields that a file's two headers share, from its version on. */
const facts = (crc: number, size: number, name: number, extra: number): Uint8Array<ArrayBuffer> =>
  new Fields()
    .add(2, VERSION)
    .add(2, UTF_8)
    .add(2, STORED)
    .add(2, 0)
    .add(2, DAY)
    .add(4, crc)
    .add(4, size)
    .add(4, size)
    .add(2, name)
    .add(2, extra)
    .done();

/** One archive of the files, in their order. Each is read once, for its checksum. */
export async function writeZip(files: readonly ZipFile[]): Promise<Blob> {
  const parts: BlobPart[] = [];
  const directory: BlobPart[] = [];
  let at = 0;
  let directoryBytes = 0;
  for (const { name, blob } of files) {
    const nameBytes = new TextEncoder().encode(name);
    const crc = await crc32(blob);
    const large = blob.size >= FULL;
    const extra = large ? name64([blob.size, blob.size]) : new Uint8Array();
    const size = large ? FULL : blob.size;
    const local = [
      new Fields().add(4, LOCAL).done(),
      facts(crc, size, nameBytes.length, extra.length),
      nameBytes,
      extra,
    ];
    const far = at >= FULL;
    const extra64 = [...(large ? [blob.size, blob.size] : []), ...(far ? [at] : [])];
    const centralExtra = extra64.length === 0 ? new Uint8Array() : name64(extra64);
    const central = [
      new Fields().add(4, CENTRAL).add(2, VERSION).done(),
      facts(crc, size, nameBytes.length, centralExtra.length),
      new Fields()
        .add(2, 0)
        .add(2, 0)
        .add(2, 0)
        .add(4, 0)
        .add(4, far ? FULL : at)
        .done(),
      nameBytes,
      centralExtra,
    ];
    parts.push(...local, blob);
    directory.push(...central);
    at += local.reduce((sum, each) => sum + each.length, 0) + blob.size;
    directoryBytes += central.reduce((sum, each) => sum + each.length, 0);
  }
  return new Blob([...parts, ...directory, ...ending(files.length, directoryBytes, at)], { type: 'application/zip' });
}

function ending(count: number, bytes: number, at: number): Uint8Array<ArrayBuffer>[] {
  const plain = (n: number, size: number, place: number): Uint8Array<ArrayBuffer> =>
    new Fields().add(4, END).add(2, 0).add(2, 0).add(2, n).add(2, n).add(4, size).add(4, place).add(2, 0).done();
  if (count < FULL_COUNT && bytes < FULL && at < FULL) return [plain(count, bytes, at)];
  const end = new Fields().add(4, END_64).add(8, 44).add(2, VERSION).add(2, VERSION).add(4, 0).add(4, 0);
  return [
    end.add(8, count).add(8, count).add(8, bytes).add(8, at).done(),
    new Fields()
      .add(4, LOCATOR_64)
      .add(4, 0)
      .add(8, at + bytes)
      .add(4, 1)
      .done(),
    plain(Math.min(count, FULL_COUNT), Math.min(bytes, FULL), Math.min(at, FULL)),
  ];
}

/** What is wrong with an archive, fit to be shown. */
export class ZipFault extends Error {}

const notZip = 'This is no ZIP archive, or its end is cut off.';
const torn = 'The list of files in the archive is damaged.';
const swells = (name: string): string =>
  `${name} would swell to more than ${MOST_SWELL} times its size, which no log does.`;
/** Logs pack to a tenth or a thirtieth; an archive made to swell, to a thousandth. */
const MOST_SWELL = 300;
const SWELLS_FROM = 10_000_000;

export interface ZipEntry {
  readonly name: string;
  readonly size: number;
  readonly crc: number;
  /** The file's bytes; a stored one stays where it lies in the archive. Throws ZipFault where they can't be had. */
  open(): Promise<Blob>;
}

const bytesAt = async (blob: Blob, from: number, length: number): Promise<DataView> => {
  if (from < 0 || from + length > blob.size) throw new ZipFault(torn);
  return new DataView(await blob.slice(from, from + length).arrayBuffer());
};

const END_BYTES = 22;
const LONGEST_COMMENT = 0xffff;
const CENTRAL_BYTES = 46;
const LOCAL_BYTES = 30;
/** Longer lists than any log's: more is not read into memory. */
const MOST_DIRECTORY_BYTES = 1 << 26;

/** The files of an archive, by its own list of them. Throws ZipFault where it is none. */
export async function readZip(archive: Blob): Promise<readonly ZipEntry[]> {
  const { count, bytes, at } = await readEnding(archive);
  if (bytes > MOST_DIRECTORY_BYTES) throw new ZipFault(torn);
  const view = await bytesAt(archive, at, bytes);
  const entries: ZipEntry[] = [];
  for (let place = 0, i = 0; i < count; i += 1) {
    if (place + CENTRAL_BYTES > bytes || view.getUint32(place, true) !== CENTRAL) throw new ZipFault(torn);
    const nameBytes = view.getUint16(place + 28, true);
    const extraBytes = view.getUint16(place + 30, true);
    const end = place + CENTRAL_BYTES + nameBytes + extraBytes + view.getUint16(place + 32, true);
    if (end > bytes) throw new ZipFault(torn);
    entries.push(entryAt(archive, view, place, nameBytes, extraBytes));
    place = end;
  }
  return entries;
}

async function readEnding(archive: Blob): Promise<{ count: number; bytes: number; at: number }> {
  const tailBytes = Math.min(archive.size, END_BYTES + LONGEST_COMMENT);
  const tail = await bytesAt(archive, archive.size - tailBytes, tailBytes);
  let end = tailBytes - END_BYTES;
  while (end >= 0 && tail.getUint32(end, true) !== END) end -= 1;
  if (end < 0) throw new ZipFault(notZip);
  const count = tail.getUint16(end + 10, true);
  const bytes = tail.getUint32(end + 12, true);
  const at = tail.getUint32(end + 16, true);
  const locator = end - 20;
  const far = locator >= 0 && tail.getUint32(locator, true) === LOCATOR_64;
  if (!far) return { count, bytes, at };
  const end64 = await bytesAt(archive, Number(tail.getBigUint64(locator + 8, true)), 56);
  if (end64.getUint32(0, true) !== END_64) throw new ZipFault(torn);
  return {
    count: Number(end64.getBigUint64(32, true)),
    bytes: Number(end64.getBigUint64(40, true)),
    at: Number(end64.getBigUint64(48, true)),
  };
}

function entryAt(archive: Blob, view: DataView, place: number, nameBytes: number, extraBytes: number): ZipEntry {
  const nameAt = view.byteOffset + place + CENTRAL_BYTES;
  const name = new TextDecoder().decode(new Uint8Array(view.buffer, nameAt, nameBytes));
  const method = view.getUint16(place + 10, true);
  const encrypted = (view.getUint16(place + 8, true) & 1) === 1;
  const longs = longsOf(new DataView(view.buffer, nameAt + nameBytes, extraBytes));
  // Only those of the three that did not fit stand in the extra field, in this order.
  const fit = (value: number): number => (value === FULL ? (longs.shift() ?? FULL) : value);
  const size = fit(view.getUint32(place + 24, true));
  const packed = fit(view.getUint32(place + 20, true));
  const at = fit(view.getUint32(place + 42, true));
  return {
    name,
    size,
    crc: view.getUint32(place + 16, true),
    open: async () => {
      if (encrypted || (method !== STORED && method !== DEFLATED)) {
        throw new ZipFault(`${name} is packed in a way that can't be read.`);
      }
      const local = await bytesAt(archive, at, LOCAL_BYTES);
      if (local.getUint32(0, true) !== LOCAL) throw new ZipFault(torn);
      const from = at + LOCAL_BYTES + local.getUint16(26, true) + local.getUint16(28, true);
      if (from + packed > archive.size) throw new ZipFault(`${name} is cut off.`);
      const bytes = archive.slice(from, from + packed);
      if (method === STORED) return bytes;
      if (size > SWELLS_FROM && size > packed * MOST_SWELL) throw new ZipFault(swells(name));
      return inflated(bytes, name, size);
    },
  };
}

function longsOf(extra: DataView): number[] {
  for (let place = 0; place + 4 <= extra.byteLength;) {
    const length = Math.min(extra.getUint16(place + 2, true), extra.byteLength - place - 4);
    if (extra.getUint16(place, true) === 1) {
      return Array.from({ length: Math.floor(length / 8) }, (_, i) =>
        Number(extra.getBigUint64(place + 4 + 8 * i, true)),
      );
    }
    place += 4 + length;
  }
  return [];
}

/** Inflates, and breaks off where more comes out than was stated. */
async function inflated(bytes: Blob, name: string, size: number): Promise<Blob> {
  let left = size;
  const watched = new TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>({
    transform: (piece, controller) => {
      left -= piece.length;
      if (left < 0) controller.error(new Error('longer than stated'));
      else controller.enqueue(piece);
    },
  });
  try {
    const stream = bytes.stream().pipeThrough(new DecompressionStream('deflate-raw')).pipeThrough(watched);
    return await new Response(stream).blob();
  } catch {
    throw new ZipFault(`${name} is damaged.`);
  }
}
