import type { Dice } from '../../data-demo/random';

/** Valid bytes made invalid, or valid in another way: what bad disks, bad programs and bad people do to files. */

export type Bytes = Uint8Array<ArrayBuffer>;

const EXTREMES: readonly [Bytes, ...Bytes[]] = [
  Uint8Array.of(0),
  Uint8Array.of(0xff),
  Uint8Array.of(0x7f),
  Uint8Array.of(0xff, 0xff),
  Uint8Array.of(0, 0, 0, 0),
  Uint8Array.of(0xff, 0xff, 0xff, 0xff),
  Uint8Array.of(0xff, 0xff, 0xff, 0x7f),
  Uint8Array.of(0, 0, 0, 0x80),
  // A number of 64 bits as Parquet's own lists write it.
  Uint8Array.of(0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x01),
];

/** What stands between cells, rows, parts and numbers, and what says more than it shows. */
const MARKS = [
  '"', ',', '\n', '\r', '\r\n', ';', '\0', '\ufeff', '\u202e', '\u200b', '=1+1', "'", '<b>', '&amp;', '{', '}', '[', ']', ':', '-',
  '1e999', 'NaN', 'inf', '-0', '99999999999999999999', '""', '__proto__', '../', 'null', '\ud83d\ude00', '\u0000', 'PK\x03\x04', 'PAR1',
] as const; // prettier-ignore

const joined = (...parts: readonly Uint8Array[]): Bytes => {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
};

/** More often near the end, where archives and Parquet files keep what they say of themselves. */
const place = (bytes: Bytes, dice: Dice): number => {
  const last = Math.max(0, bytes.length - 1);
  return dice.chance(0.3) ? Math.max(0, last - dice.whole(0, 600)) : dice.whole(0, last);
};

type Change = (bytes: Bytes, dice: Dice, other: Bytes) => Bytes;

const changes: readonly [Change, ...Change[]] = [
  function flipBit(bytes, dice) {
    const at = place(bytes, dice);
    const changed = bytes.slice();
    changed[at] = (changed[at] ?? 0) ^ (1 << dice.whole(0, 7));
    return changed;
  },
  function setExtreme(bytes, dice) {
    const at = place(bytes, dice);
    const extreme = dice.pick(EXTREMES).subarray(0, bytes.length - at);
    const changed = bytes.slice();
    changed.set(extreme, at);
    return changed;
  },
  function truncate(bytes, dice) {
    return bytes.slice(0, place(bytes, dice));
  },
  function leaveOut(bytes, dice) {
    const at = place(bytes, dice);
    return joined(bytes.subarray(0, at), bytes.subarray(at + dice.whole(1, 40)));
  },
  function double(bytes, dice) {
    const at = place(bytes, dice);
    const chunk = bytes.subarray(at, at + dice.whole(1, 200));
    return joined(bytes.subarray(0, at), ...Array.from({ length: dice.whole(1, 5) }, () => chunk), bytes.subarray(at));
  },
  function splice(bytes, dice, other) {
    const from = place(other, dice);
    const at = place(bytes, dice);
    return joined(bytes.subarray(0, at), other.subarray(from, from + dice.whole(1, 200)), bytes.subarray(at));
  },
  function mark(bytes, dice) {
    const at = place(bytes, dice);
    const text = new TextEncoder().encode(MARKS[dice.whole(0, MARKS.length - 1)] ?? '');
    return joined(bytes.subarray(0, at), text, bytes.subarray(at + (dice.chance(0.5) ? text.length : 0)));
  },
];

/** One to four changes; `other` is another valid file, to be spliced in. */
export function mutate(bytes: Bytes, dice: Dice, other: Bytes): Bytes {
  let changed = bytes;
  for (let left = dice.whole(1, 4); left > 0 && changed.length > 0; left -= 1) {
    changed = dice.pick(changes)(changed, dice, other);
  }
  return changed;
}
