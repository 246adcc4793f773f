import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import canonicalize from 'canonicalize';

/**
 * One text for one value, whoever writes it: JSON by RFC 8785. Names are sorted by UTF-16 code units, numbers are written as
 * ECMAScript writes them, and nothing stands between the marks. Throws on what JSON does not have: NaN, infinities, half a pair
 * of code units, and undefined as a whole.
 */
export function canonicalJson(value: unknown): string {
  const text = canonicalize(value);
  if (text === undefined) throw new TypeError('There is no JSON for an undefined value');
  return text;
}

/** SHA-256 (FIPS 180-4) of a text in UTF-8, as 64 hexadecimal digits. */
export const sha256Hex = (text: string): string => bytesToHex(sha256(utf8ToBytes(text)));
