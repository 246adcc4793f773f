import { afterEach, describe, expect, it, vi } from 'vitest';
import { fileHash } from '../../lib/log/inspect';
import { sha256Hex } from '../../lib/report/canonical';

/** A message as text, or in hexadecimal, and its digest. */
type Vector = readonly [name: string, message: Uint8Array<ArrayBuffer>, digest: string];

const text = (message: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(message);
const hex = (digits: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(digits.match(/../g) ?? [], (byte) => Number.parseInt(byte, 16));

// Source: FIPS 180-2, appendix B.1 to B.3, from memory.
const standard: readonly (readonly [name: string, message: string, digest: string])[] = [
  ['"abc"', 'abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
  [
    '448 bits',
    'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
    '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
  ],
  ['1,000,000 × "a"', 'a'.repeat(1e6), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
];

// Source: NIST CAVP, SHA256ShortMsg, byte-oriented: the set of 2011 (to 24 bits) and one made by CAVS 21.3 in 2018 (from 440 bits on, on
// both sides of where a message no longer fits one block with its length, and of a whole block).
const short: readonly Vector[] = [
  ['no bits', hex(''), 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
  ['8 bits', hex('d3'), '28969cdfa74a12c82f3bad960b0b000aca2ac329deea5c2328ebc6f2ba9802c1'],
  ['16 bits', hex('11af'), '5ca7133fa735326081558ac312c620eeca9970d1e70a4b95533d956f072d1f98'],
  ['24 bits', hex('b4190e'), 'dff2e73091f6c05e528896c4c831b9448653dc2ff043528f6769437bc7b975c2'],
  [
    '440 bits',
    hex(
      '177df9f1768f798c8ec59a1f36ed02856a62b090403090511e794d932b1867a90383856aaff60c79d4cef0ca2a33cb6130f92c5d1fc831',
    ),
    '34416b20eef5474b6602ef98fb0b5f018086805b7b2df3ef1d4635502f631642',
  ],
  [
    '448 bits',
    hex(
      '08f645ff0f9a765593bd419ff60a308d3b4e70e816388577455d3c1f237ee14d7b0eb3999aef95a3a87d064138cd53dd1d360b187f11b4b3',
    ),
    '76f082a9a8e45c02a376ee1b42629cfb5db30e0ba1632f19cd28c96363f9da66',
  ],
  [
    '504 bits',
    hex(
      'c3e81f34b716b165addda4fce195ba39e3a496ccf44f3746b3d0c0cef9a87a1501361b8ccc8949d4c3735a759fde5ed486635f5f7619e70be7abc300acae07',
    ),
    '2775a3f9bb46a4fda00eef650b45db52a8e8c948b6eff3b7a8206544de4f3ba0',
  ],
  [
    '512 bits',
    hex(
      '3d007ab1483de3511ce9a7edc7a9610bcacac0ec6f3d7cb45de08fcc6a00a185b01bc4fee3ea6147e29e72c68b6bf2dad44392bf17e4aeb2ae147f55c02b9254',
    ),
    'b9e850d487a74e6b8e07330b7648b6c1aa84cdcc16b238c96d47613de313e2f9',
  ],
];
const vectors: readonly Vector[] = [
  ...standard.map(([name, message, digest]): Vector => [name, text(message), digest]),
  ...short,
];

describe('SHA-256 of a file', () => {
  afterEach(() => {
    vi.unstubAllGlobals();
  });

  it.each(vectors)('is that of the standard for %s', async (_name, message, digest) => {
    expect(await fileHash(new Blob([message]))).toBe(digest);
  });

  it.each(vectors)(
    'is the same piece by piece, where the browser has no digest of its own, for %s',
    async (_name, message, digest) => {
      vi.stubGlobal('crypto', {});
      const half = message.length >> 1;
      expect(await fileHash(new Blob([message.slice(0, half), message.slice(half)]))).toBe(digest);
    },
  );
});

describe('SHA-256 of a record', () => {
  it.each(standard)('is that of the standard for %s', (_name, message, digest) => {
    expect(sha256Hex(message)).toBe(digest);
  });
});
