import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { canonicalJson, sha256Hex } from '../../lib/report/canonical';

const double = (hex: string): number => {
  const view = new DataView(new ArrayBuffer(8));
  view.setBigUint64(0, BigInt(`0x${hex}`));
  return view.getFloat64(0);
};

describe('canonical JSON', () => {
  it.each([
    ['0000000000000000', '0'],
    ['8000000000000000', '0'],
    ['0000000000000001', '5e-324'],
    ['8000000000000001', '-5e-324'],
    ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['ffefffffffffffff', '-1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'],
    ['c340000000000000', '-9007199254740992'],
    ['4430000000000000', '295147905179352830000'],
    ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'],
    ['44b52d02c7e14af7', '1.0000000000000001e+23'],
    ['444b1ae4d6e2ef4e', '999999999999999700000'],
    ['444b1ae4d6e2ef4f', '999999999999999900000'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['41b3de4355555553', '333333333.3333332'],
    ['41b3de4355555554', '333333333.33333325'],
    ['41b3de4355555555', '333333333.3333333'],
    ['41b3de4355555556', '333333333.3333334'],
    ['41b3de4355555557', '333333333.33333343'],
    ['becbf647612f3696', '-0.0000033333333333333333'],
    ['43143ff3c1cb0959', '1424953923781206.2'],
  ])('writes the double %s as %s (RFC 8785, appendix B)', (hex, says) => {
    expect(canonicalJson(double(hex))).toBe(says);
    expect(canonicalJson({ a: [double(hex)] })).toBe(`{"a":[${says}]}`);
  });

  it.each(['7fffffffffffffff', '7ff0000000000000', 'fff0000000000000'])(
    'refuses the double %s, which JSON does not have (RFC 8785, appendix B)',
    (hex) => {
      expect(() => canonicalJson([double(hex)])).toThrow();
    },
  );

  it.each([
    ['4340000000000001', '9007199254740994'],
    ['4340000000000002', '9007199254740996'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['8000000000000000', '0'],
    ['0', '0'],
  ])(
    'writes %s as %s (sample lines of the ES6 numbers file, json-canonicalization, testdata/README.md)',
    (hex, says) => {
      expect(canonicalJson(double(hex))).toBe(says);
    },
  );

  it('sorts names by UTF-16 code units (RFC 8785, 3.2.3)', () => {
    const given: unknown = JSON.parse(`{
      "\\u20ac": "Euro Sign",
      "\\r": "Carriage Return",
      "\\ufb33": "Hebrew Letter Dalet With Dagesh",
      "1": "One",
      "\\ud83d\\ude00": "Emoji: Grinning Face",
      "\\u0080": "Control",
      "\\u00f6": "Latin Small Letter O With Diaeresis"
    }`);
    const order = [
      ...['Carriage Return', 'One', 'Control', 'Latin Small Letter O With Diaeresis', 'Euro Sign'],
      ...['Emoji: Grinning Face', 'Hebrew Letter Dalet With Dagesh'],
    ];
    expect([...canonicalJson(given).matchAll(/":"([^"]*)"/g)].map((match) => match[1])).toEqual(order);
  });

  // Public test data of the reference implementation: json-canonicalization, testdata/input and testdata/output.
  it.each([
    [
      'structures.json',
      String.raw`{"1": {"f": {"f": "hi","F": 5} ,"\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ { } ], "A": { }}`,
      String.raw`{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}`,
    ],
    [
      'french.json',
      '{"peach": "This sorting order", "péché": "is wrong according to French", "pêche": "but canonicalization MUST", "sin": "ingnore locale"}',
      '{"peach":"This sorting order","péché":"is wrong according to French","pêche":"but canonicalization MUST","sin":"ingnore locale"}',
    ],
  ])('gives the published output for %s', (_, given, output) => {
    const names = Object.entries(JSON.parse(given) as Record<string, unknown>).reverse();
    expect(canonicalJson(Object.fromEntries(names))).toBe(output);
  });

  it('leaves out room, and writes literals, numbers and texts one way (RFC 8785, 3.2.2 and 3.2.4)', () => {
    const given: unknown = JSON.parse(`{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\"\\/",
      "literals": [null, true, false]
    }`);
    // The bytes of 3.2.4, in hexadecimal as printed there.
    const bytes = `7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22 3a
      5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31 65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37 5d 2c 22
      73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d`;
    const written = [...new TextEncoder().encode(canonicalJson(given))].map((byte) =>
      byte.toString(16).padStart(2, '0'),
    );
    expect(written).toEqual(bytes.split(/\s+/));
  });

  it('refuses half a pair of code units, in a text or a name (RFC 8785, 3.2.2.2)', () => {
    expect(() => canonicalJson('\ud83d')).toThrow();
    expect(() => canonicalJson({ a: ['x\udead'] })).toThrow();
    expect(() => canonicalJson({ '\udead': 1 })).toThrow();
    expect(() => canonicalJson(undefined)).toThrow();
  });

  it('gives one text for one value in whatever order its names come, which reads back as that value', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const text = canonicalJson(value);
        const back: unknown = JSON.parse(text);
        expect(canonicalJson(turned(back))).toBe(text);
        expect(JSON.stringify(sorted(back))).toBe(JSON.stringify(sorted(JSON.parse(JSON.stringify(value)))));
      }),
    );
  });
});

/** The same value with the names of each object the other way round. */
function turned(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(turned);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([name, each]) => [name, turned(each)]),
  );
}

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== 'object' || value === null) return value;
  return Object.entries(value)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, each]) => [name, sorted(each)]);
}

describe('SHA-256', () => {
  it.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad', 'FIPS 180-4 examples, one block'],
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855', 'NIST SHA-256 short messages, Len = 0'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
      'FIPS 180-4 examples, two blocks (448 bits)',
    ],
    [
      'a'.repeat(1_000_000),
      'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0',
      "FIPS 180-2, appendix B.3, one million 'a'",
    ],
  ])('of %.20s ... is %s (%s)', (text, digest) => {
    expect(sha256Hex(text)).toBe(digest);
  });

  it('is of the text in UTF-8', () => {
    // U+20AC is e2 82 ac: the digest that `printf '\xe2\x82\xac' | sha256sum` gives.
    expect(sha256Hex('\u20ac')).toBe('c4cc90ed3d26f12d4b08a75140970a7904035c31cbb4515a83f19b9003c00d1d');
  });
});
