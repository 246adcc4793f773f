import { UnreadableWorkbook, workbookSays } from './sentences';

/** A zip archive read from its place on disk: what its directory says, and single parts unpacked within what it says. */

export interface ZipPart {
  readonly name: string;
  readonly packed: number;
  readonly size: number;
  readonly method: number;
  readonly crc: number;
  /** Where its own heading lies. */
  readonly at: number;
}

const END_MARK = 0x06054b50;
const DIRECTORY_MARK = 0x02014b50;
const PART_MARK = 0x04034b50;
const END_BYTES = 22;
const DIRECTORY_BYTES = 46;
const PART_BYTES = 30;
const MOST_COMMENT = 0xffff;
/** Stands for a number that is too large for its place and written elsewhere. */
const ELSEWHERE = 0xffffffff;
const WIDE_EXTRA = 1;
const ENCRYPTED = 1;
const STORED = 0;
const DEFLATED = 8;
/** A directory of a workbook has some dozen entries of some hundred bytes. */
const MOST_DIRECTORY = 1 << 24;

const viewAt = async (blob: Blob, from: number, length: number): Promise<DataView> =>
  new DataView(await blob.slice(from, from + length).arrayBuffer());

/** The parts that the directory at the archive's end lists, by name; names are as the archive writes them. */
export async function partsOf(blob: Blob): Promise<ReadonlyMap<string, ZipPart>> {
  const from = Math.max(0, blob.size - END_BYTES - MOST_COMMENT);
  const tail = await viewAt(blob, from, blob.size - from);
  const end = endIn(tail);
  const length = tail.getUint32(end + 12, true);
  const start = tail.getUint32(end + 16, true);
  if (start + length > from + end || length > MOST_DIRECTORY) throw new UnreadableWorkbook(workbookSays.cutShort);
  return listed(await viewAt(blob, start, length));
}

function endIn(tail: DataView): number {
  for (let at = tail.byteLength - END_BYTES; at >= 0; at -= 1) {
    if (tail.getUint32(at, true) === END_MARK && at + END_BYTES + tail.getUint16(at + 20, true) === tail.byteLength) {
      return at;
    }
  }
  throw new UnreadableWorkbook(workbookSays.cutShort);
}

function listed(directory: DataView): ReadonlyMap<string, ZipPart> {
  const parts = new Map<string, ZipPart>();
  const text = new TextDecoder();
  let at = 0;
  while (at + DIRECTORY_BYTES <= directory.byteLength && directory.getUint32(at, true) === DIRECTORY_MARK) {
    const nameEnd = at + DIRECTORY_BYTES + directory.getUint16(at + 28, true);
    const extraEnd = nameEnd + directory.getUint16(at + 30, true);
    const next = extraEnd + directory.getUint16(at + 32, true);
    if (next > directory.byteLength) throw new UnreadableWorkbook(workbookSays.cutShort);
    const nameAt = directory.byteOffset + at + DIRECTORY_BYTES;
    const name = text.decode(new Uint8Array(directory.buffer, nameAt, nameEnd - at - DIRECTORY_BYTES));
    if ((directory.getUint16(at + 8, true) & ENCRYPTED) !== 0) throw new UnreadableWorkbook(workbookSays.password);
    const wide = wideNumbers(directory, nameEnd, extraEnd);
    const number = (place: number): number => {
      const written = directory.getUint32(at + place, true);
      return written === ELSEWHERE ? (wide.shift() ?? written) : written;
    };
    // The order in which numbers stand elsewhere: unpacked, packed, place.
    const size = number(24);
    parts.set(name, {
      name,
      size,
      packed: number(20),
      at: number(42),
      method: directory.getUint16(at + 10, true),
      crc: directory.getUint32(at + 16, true),
    });
    at = next;
  }
  return parts;
}

function wideNumbers(directory: DataView, from: number, to: number): number[] {
  for (let at = from; at + 4 <= to; at += 4 + directory.getUint16(at + 2, true)) {
    const end = at + 4 + directory.getUint16(at + 2, true);
    if (directory.getUint16(at, true) !== WIDE_EXTRA || end > to) continue;
    const numbers: number[] = [];
    for (let place = at + 4; place + 8 <= end; place += 8) {
      numbers.push(Number(directory.getBigUint64(place, true)));
    }
    return numbers;
  }
  return [];
}

/** Unpacked together they may be this large: ten million cells or so. */
export const MOST_UNPACKED = 512_000_000;
/** Sheets of readings are packed to a tenth or a thirtieth; an archive that is made to swell, to a thousandth. */
export const MOST_RATIO = 300;
const RATIO_FROM = 10_000_000;

/** Refuses parts that would unpack to too much, by what the directory says, before any of them is unpacked. */
export function weigh(parts: readonly ZipPart[]): void {
  const unpacked = parts.reduce((sum, part) => sum + part.size, 0);
  const packed = parts.reduce((sum, part) => sum + part.packed, 0);
  if (unpacked > RATIO_FROM && unpacked > packed * MOST_RATIO) {
    throw new UnreadableWorkbook(workbookSays.tooDense(packed, unpacked, MOST_RATIO));
  }
  if (unpacked > MOST_UNPACKED) throw new UnreadableWorkbook(workbookSays.tooLarge(unpacked, MOST_UNPACKED));
}

/** The bytes of a part, piece by piece; stops as soon as there are more of them than the directory says. */
export async function* unpack(blob: Blob, part: ZipPart): AsyncGenerator<Uint8Array> {
  const damaged = new UnreadableWorkbook(workbookSays.damaged(part.name));
  const heading = await viewAt(blob, part.at, PART_BYTES);
  if (heading.byteLength < PART_BYTES || heading.getUint32(0, true) !== PART_MARK) throw damaged;
  const start = part.at + PART_BYTES + heading.getUint16(26, true) + heading.getUint16(28, true);
  const packed = blob.slice(start, start + part.packed);
  if (packed.size < part.packed || (part.method !== STORED && part.method !== DEFLATED)) throw damaged;
  const bytes: ReadableStream<Uint8Array> =
    part.method === STORED ? packed.stream() : packed.stream().pipeThrough(new DecompressionStream('deflate-raw'));
  const reader = bytes.getReader();
  const sum = new Checksum();
  let size = 0;
  try {
    for (;;) {
      const piece = await reader.read().catch(() => {
        throw damaged;
      });
      if (piece.done) break;
      size += piece.value.length;
      if (size > part.size) throw new UnreadableWorkbook(workbookSays.lying(part.name));
      sum.add(piece.value);
      yield piece.value;
    }
  } finally {
    await reader.cancel().catch(() => undefined);
  }
  if (size !== part.size || sum.value() !== part.crc) throw damaged;
}

const remainders = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit += 1) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1;
  return rest >>> 0;
});

/** CRC-32 as zip has it: without it a flipped bit could turn one figure into another. */
class Checksum {
  private rest = 0xffffffff;

  add(bytes: Uint8Array): void {
    let { rest } = this;
    for (const byte of bytes) rest = (remainders[(rest ^ byte) & 0xff] ?? 0) ^ (rest >>> 8);
    this.rest = rest;
  }

  value(): number {
    return (this.rest ^ 0xffffffff) >>> 0;
  }
}
