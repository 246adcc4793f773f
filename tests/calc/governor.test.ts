import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CheckReadings, governorBases, speedDroop, speedWindow } from '../../lib/calc/governor/governor';
import { code } from '../../lib/calc/layout';
import type { Check } from '../../lib/calc/types';

interface Reading {
  readonly speed?: number;
  readonly rack?: number;
  readonly boost?: number;
  readonly delivery?: number;
  readonly lever?: number;
}

const FULL = 3;

const band = (given: Partial<Check>): Check => ({
  check: 0,
  name: 'check',
  kind: 'unstated',
  speed_rpm: NaN,
  boost_kpa: NaN,
  lever: -1,
  low: NaN,
  high: NaN,
  unit: 'mm',
  ...given,
});

const held = new CheckReadings();

function judged(given: Partial<Check>, readings: readonly Reading[]) {
  held.reset();
  for (const { speed = NaN, rack = NaN, boost = NaN, delivery = NaN, lever = -1 } of readings) {
    held.add(speed, rack, boost, delivery, lever);
  }
  const verdict = held.judge(band(given));
  expect(held.verdict).toBe(verdict);
  return { value: held.value, basis: governorBases[held.basis], verdict, used: held.used };
}

/** Readings of rack at a speed. */
const racks = (...pairs: readonly (readonly [number, number])[]): Reading[] =>
  pairs.map(([speed, rack]) => ({ speed, rack }));

const notMeasured = { value: NaN, basis: 'not measured', verdict: code('verdict', 'not measured'), used: 0 };

const rackAt = (speed_rpm: number): Partial<Check> => ({ kind: 'rack_at_speed', speed_rpm, low: 9, high: 11 });
const breakaway: Partial<Check> = { kind: 'breakaway', unit: 'rpm', low: 1000, high: 1100 };
const cutOff: Partial<Check> = { kind: 'cut_off', unit: 'rpm', low: 1100, high: 1200 };

const rpm = fc.integer({ min: 200, max: 2000 });
const rack = fc.integer({ min: 0, max: 400 }).map((k) => k / 20);
const somePoints = fc.array(fc.record({ speed: rpm, rack }), { minLength: 1, maxLength: 12 });

describe('rack at a speed', () => {
  test('is the mean of the readings taken at it', () => {
    const read = racks([1000, 10], [1009, 10.2], [1011, 5]);
    expect(judged(rackAt(1000), read)).toEqual({
      value: 10.1,
      basis: 'as read',
      verdict: code('verdict', 'in'),
      used: 2,
    });
  });

  test('is taken 5 rpm away at least, else 1 %', () => {
    expect(speedWindow(300)).toBe(5);
    expect(speedWindow(1200)).toBe(12);
    expect(judged(rackAt(300), [{ speed: 305, rack: 10 }]).value).toBe(10);
    expect(judged(rackAt(300), [{ speed: 306, rack: 10 }])).toEqual(notMeasured);
  });

  test('lies between its neighbours where there is none at it, repeats counting as their mean', () => {
    const read = racks([900, 11], [1100, 8], [900, 9], [1400, 0]);
    expect(judged(rackAt(1000), read)).toEqual({
      value: 9,
      basis: 'interpolated',
      verdict: code('verdict', 'in'),
      used: 3,
    });
  });

  test('is never read beyond the ends', () => {
    const read = racks([900, 10], [1100, 10]);
    expect(judged(rackAt(880), read)).toEqual(notMeasured);
    expect(judged(rackAt(1120), read)).toEqual(notMeasured);
  });

  test('interpolated, it lies between the racks of the two neighbours, whatever else was read', () => {
    fc.assert(
      fc.property(somePoints, rpm, (points, at) => {
        const found = judged(rackAt(at), points);
        const outside = points.filter(({ speed }) => Math.abs(speed - at) > speedWindow(at));
        if (found.basis !== 'interpolated') return;
        expect(outside).toHaveLength(points.length);
        const below = Math.max(...points.map(({ speed }) => (speed < at ? speed : -Infinity)));
        const above = Math.min(...points.map(({ speed }) => (speed > at ? speed : Infinity)));
        const near = points.filter(({ speed }) => speed === below || speed === above).map((point) => point.rack);
        expect(found.value).toBeGreaterThanOrEqual(Math.min(...near) - 1e-9);
        expect(found.value).toBeLessThanOrEqual(Math.max(...near) + 1e-9);
        expect(found.used).toBe(near.length);
      }),
    );
  });

  test('on a straight line of readings it is the line', () => {
    fc.assert(
      fc.property(fc.uniqueArray(rpm, { minLength: 2, maxLength: 10 }), rpm, (speeds, at) => {
        const line = (speed: number) => 20 - speed / 100;
        const found = judged(
          rackAt(at),
          speeds.map((speed) => ({ speed, rack: line(speed) })),
        );
        if (found.basis === 'interpolated') expect(found.value).toBeCloseTo(line(at), 9);
      }),
    );
  });

  test('without a speed of its own it takes readings of one speed, written down or not, and not a whole sweep', () => {
    const anywhere: Partial<Check> = { kind: 'rack_at_speed', low: 9, high: 11 };
    expect(judged(anywhere, [{ rack: 10 }, { rack: 11 }]).value).toBe(10.5);
    expect(judged(anywhere, [{ speed: 1000, rack: 10 }, { rack: 11 }, { speed: 1008, rack: 12 }]).value).toBe(11);
    expect(judged(anywhere, racks([1000, 10], [1100, 11]))).toEqual(notMeasured);
  });

  test('a reading without a speed does not count where the band states one', () => {
    expect(judged(rackAt(1000), [{ rack: 10 }])).toEqual(notMeasured);
  });
});

describe('delivery, torque control and boost', () => {
  const read = [
    { speed: 600, boost: 0, rack: 9, delivery: 50, lever: FULL },
    { speed: 600, boost: 40, rack: 9.8, delivery: 60, lever: FULL },
    { speed: 600, boost: 80, rack: 10.2, delivery: 70, lever: FULL },
    { speed: 900, boost: 80, rack: 7, delivery: 20, lever: FULL },
  ];

  test('delivery is read off as rack is', () => {
    const at: Partial<Check> = { kind: 'delivery_at_speed', unit: 'mm3_per_stroke', boost_kpa: 80, low: 0, high: 50 };
    expect(judged({ ...at, speed_rpm: 750 }, read)).toMatchObject({
      value: 45,
      basis: 'interpolated',
      verdict: code('verdict', 'in'),
    });
    expect(judged({ ...at, speed_rpm: 600 }, read)).toMatchObject({
      value: 70,
      basis: 'as read',
      verdict: code('verdict', 'out'),
    });
  });

  test('torque control is rack or delivery at a speed, by its unit', () => {
    const at: Partial<Check> = { kind: 'torque_control', speed_rpm: 900, boost_kpa: 80 };
    expect(judged({ ...at, unit: 'mm' }, read).value).toBe(7);
    expect(judged({ ...at, unit: 'mm3_per_stroke' }, read).value).toBe(20);
  });

  test('boost goes by pressure at the speed stated', () => {
    const at: Partial<Check> = { kind: 'boost', speed_rpm: 600, low: 9.5, high: 10 };
    expect(judged({ ...at, boost_kpa: 42 }, read)).toMatchObject({ value: 9.8, basis: 'as read', used: 1 });
    expect(judged({ ...at, boost_kpa: 60 }, read)).toMatchObject({ basis: 'interpolated', used: 2 });
    expect(judged({ ...at, boost_kpa: 60 }, read).value).toBeCloseTo(10, 12);
    expect(judged({ ...at, boost_kpa: 83 }, read)).toEqual(notMeasured);
    expect(judged({ ...at, boost_kpa: 80, speed_rpm: NaN }, read).value).toBeCloseTo(8.6, 12);
  });
});

describe('the lever', () => {
  const read = [
    { speed: 1000, rack: 10, lever: FULL },
    { speed: 1000, rack: 4, lever: FULL + 1 },
    { speed: 1000, rack: 1 },
  ];
  test('a band that states one takes its readings alone', () => {
    expect(judged({ ...rackAt(1000), lever: FULL }, read)).toMatchObject({ value: 10, used: 1 });
    expect(judged({ ...rackAt(1000), lever: 7 }, read)).toEqual(notMeasured);
  });
  test('a band that states none takes all', () => {
    expect(judged(rackAt(1000), read)).toMatchObject({ value: 5, used: 3 });
  });
});

/** Plateau, straight fall and cut-off, read at each speed. */
const runOut = (speeds: readonly number[], from: number, until: number, high = 10, low = 2): Reading[] =>
  speeds.map((speed) => {
    const part = Math.min(1, Math.max(0, (speed - from) / (until - from)));
    return { speed, rack: high - (high - low) * part };
  });

const steps = (first: number, step: number, count: number) => Array.from({ length: count }, (_, k) => first + step * k);

describe('breakaway and cut-off', () => {
  test('a reading without rack states the speed', () => {
    expect(judged(breakaway, [{ speed: 1040 }])).toEqual({
      value: 1040,
      basis: 'as read',
      verdict: code('verdict', 'in'),
      used: 1,
    });
    expect(judged(cutOff, [{ speed: 1210 }])).toMatchObject({ value: 1210, verdict: code('verdict', 'out') });
    expect(judged(cutOff, [{ speed: 1150, rack: 2 }])).toMatchObject({ value: 1150, basis: 'as read' });
  });

  test('several such readings state it together, unless they contradict each other', () => {
    expect(judged(breakaway, [{ speed: 1040 }, { speed: 1044 }])).toMatchObject({ value: 1042, used: 2 });
    expect(judged(breakaway, [{ speed: 1040 }, { speed: 1060 }])).toEqual(notMeasured);
  });

  test('readings of one speed are no sweep, and within a sweep they count once', () => {
    expect(judged(breakaway, racks([1040, 10], [1040, 9]))).toMatchObject({ value: 1040, basis: 'as read', used: 2 });
    const sweep = runOut(steps(1000, 10, 16), 1045, 1125);
    const again = [...sweep, { speed: 1050, rack: 9.5 }, { speed: 1150, rack: 2 }];
    expect(judged(breakaway, again)).toEqual({ ...judged(breakaway, sweep), used: 18 });
    expect(judged(cutOff, again)).toEqual({ ...judged(cutOff, sweep), used: 18 });
  });

  test('a step of a tenth just falls, and just reaches, whatever binary arithmetic makes of it', () => {
    const read = (...racks: number[]) => racks.map((value, k) => ({ speed: 1000 + 10 * k, rack: value }));
    expect(judged(breakaway, read(0.3, 0.2, 0.1)).value).toBeCloseTo(1010, 6);
    expect(judged(cutOff, read(2, 0.8, 0.7)).value).toBeCloseTo(1010, 6);
  });

  test('a line of a sweep without its rack states nothing', () => {
    const sweep = runOut(steps(1000, 10, 16), 1045, 1125);
    expect(judged(breakaway, [...sweep, { speed: 700 }])).toEqual(judged(breakaway, sweep));
  });

  test('are not measured where the sweep does not reach them', () => {
    const level = steps(1000, 10, 5).map((speed) => ({ speed, rack: 10 }));
    expect(judged(breakaway, level)).toEqual(notMeasured);
    expect(judged(cutOff, level)).toEqual(notMeasured);
    // One reading at the foot of the fall does not show that the rack stays there.
    expect(judged(cutOff, runOut(steps(1000, 10, 13), 1045, 1125))).toMatchObject({ basis: 'not measured', used: 0 });
    expect(judged(cutOff, runOut(steps(1000, 10, 15), 1045, 1125))).toMatchObject({ basis: 'interpolated', used: 15 });
  });

  test('a tenth of play on the plateau is not a fall, however the readings waver', () => {
    const read = [10, 10.05, 9.96, 10.04, 9.95, 9, 8].map((value, k) => ({ speed: 1000 + 10 * k, rack: value }));
    const found = judged(breakaway, read).value;
    expect(found).toBeGreaterThan(1040);
    expect(found).toBeLessThan(1050);
    const high = [10.06, 10, 10, 9.95, 9].map((value, k) => ({ speed: 1000 + 10 * k, rack: value }));
    expect(judged(breakaway, high).value).toBeGreaterThan(1030);
  });

  const sweeps = fc.record({
    from: fc.integer({ min: 1040, max: 1100 }),
    length: fc.integer({ min: 30, max: 150 }),
    step: fc.integer({ min: 2, max: 10 }),
    start: fc.integer({ min: 960, max: 1000 }),
  });

  test('lie within one step of the corners of the curve', () => {
    fc.assert(
      fc.property(sweeps, ({ from, length, step, start }) => {
        const until = from + length;
        const read = runOut(steps(start, step, Math.ceil((until - start) / step) + 3), from, until);
        // A straight fall of 8 mm passes a tenth this far from either corner.
        const tenth = length / 80;
        const first = judged(breakaway, read).value;
        expect(first).toBeGreaterThan(from - step);
        expect(first).toBeLessThan(from + tenth + step);
        const last = judged(cutOff, read).value;
        expect(last).toBeGreaterThan(until - tenth - step);
        expect(last).toBeLessThan(until + step);
        expect(last).toBeGreaterThan(first);
      }),
    );
  });

  test('move with all speeds, and stay where the rack is read from another zero', () => {
    fc.assert(
      fc.property(sweeps, fc.integer({ min: -300, max: 300 }), rack, ({ from, length, step, start }, shift, zero) => {
        const read = runOut(steps(start, step, Math.ceil((from + length - start) / step) + 3), from, from + length);
        for (const kind of [breakaway, cutOff]) {
          const before = judged(kind, read).value;
          const faster = read.map(({ speed = NaN, rack: value = NaN }) => ({ speed: speed + shift, rack: value }));
          expect(judged(kind, faster).value).toBeCloseTo(before + shift, 6);
          const raised = read.map(({ speed = NaN, rack: value = NaN }) => ({ speed, rack: value + zero }));
          expect(judged(kind, raised).value).toBeCloseTo(before, 6);
        }
      }),
    );
  });
});

describe('droop', () => {
  const droop: Partial<Check> = { kind: 'droop', unit: 'percent', speed_rpm: 1000, low: 8, high: 12 };

  test('comes from the no-load speed as read, or from the cut-off of the sweep', () => {
    expect(judged(droop, [{ speed: 1100 }])).toMatchObject({ value: 10, basis: 'as read', used: 1 });
    const sweep = runOut(steps(1000, 10, 18), 1045, 1125);
    const noLoad = judged(cutOff, sweep).value;
    expect(judged(droop, sweep)).toMatchObject({ value: (noLoad - 1000) / 10, basis: 'interpolated', used: 18 });
  });

  test('is not measured without a rated speed or a no-load speed', () => {
    expect(judged({ ...droop, speed_rpm: NaN }, [{ speed: 1100 }])).toEqual(notMeasured);
    expect(judged({ ...droop, speed_rpm: 0 }, [{ speed: 1100 }])).toEqual(notMeasured);
    expect(judged(droop, [])).toEqual(notMeasured);
    expect(speedDroop(NaN, 1000)).toBeNaN();
  });

  test('is below 0 where the pump runs slower without load', () => {
    expect(judged(droop, [{ speed: 950 }]).value).toBe(-5);
  });
});

describe('a band whose kind is not stated goes by its unit', () => {
  const read = [{ speed: 1000, rack: 10, delivery: 60 }];
  test.each<[Partial<Check>, number]>([
    [{ unit: 'mm', speed_rpm: 1000 }, 10],
    [{ unit: 'mm3_per_stroke', speed_rpm: 1000 }, 60],
    [{ unit: 'rpm' }, 1000],
    [{ unit: 'percent', speed_rpm: 800 }, 25],
  ])('%j', (given, value) => {
    expect(judged(given, read).value).toBe(value);
  });

  test('a sweep leaves open which speed is meant', () => {
    expect(judged({ unit: 'rpm' }, runOut(steps(1000, 2, 5), 1003, 1005))).toEqual(notMeasured);
  });
});

test.each<Partial<Check>>([
  { kind: 'rack_at_speed', unit: 'rpm' },
  { kind: 'rack_at_speed', unit: 'mm3_per_stroke' },
  { kind: 'delivery_at_speed', unit: 'mm' },
  { kind: 'droop', unit: 'mm' },
  { kind: 'boost', unit: 'percent' },
  { kind: 'cut_off', unit: 'percent' },
])('a unit that cannot belong to its kind is not measured: %j', (given) => {
  expect(judged(given, [{ speed: 1000, rack: 10, boost: 0, delivery: 60 }])).toEqual(notMeasured);
});

const anyNumber = fc.oneof(
  fc.constant(NaN),
  fc.integer({ min: 0, max: 20_000 }).map((k) => k / 10),
  fc.double({ min: 0, max: 2000, noNaN: true }),
);
const anyReading = fc.record({
  speed: fc.oneof(anyNumber, fc.constantFrom(1000, 1005, 1100)),
  rack: anyNumber,
  boost: fc.oneof(anyNumber, fc.constantFrom(0, 40)),
  delivery: anyNumber,
  lever: fc.integer({ min: -1, max: 1 }),
});
const kinds = ['rack_at_speed', 'delivery_at_speed', 'breakaway', 'cut_off', 'droop', 'boost', 'unstated'] as const;
const anyBand = fc.record({
  kind: fc.constantFrom(...kinds),
  unit: fc.constantFrom<Check['unit']>('mm', 'rpm', 'percent', 'mm3_per_stroke'),
  speed_rpm: fc.constantFrom(NaN, 0, 1000, 1050),
  boost_kpa: fc.constantFrom(NaN, 0, 20),
  lever: fc.integer({ min: -1, max: 1 }),
  low: fc.constant(0),
  high: fc.constant(1000),
});

test('not even the last bit of a mean depends on the order', () => {
  const read = [0.1, 0.2, 0.3].map((value) => ({ speed: 1000, rack: value }));
  expect(judged(rackAt(1000), read).value).toBe(judged(rackAt(1000), read.toReversed()).value);
});

test('the order of the readings does not matter, and what stood there before a reset does not either', () => {
  fc.assert(
    fc.property(fc.array(anyReading, { maxLength: 40 }), anyBand, (read, given) => {
      const found = judged(given, read);
      expect(judged(given, read.toReversed())).toEqual(found);
      const sorted = [...read].sort((a, b) => a.delivery - b.delivery || a.lever - b.lever);
      expect(judged(given, sorted)).toEqual(found);
    }),
  );
});

test('whatever was written down, the value, its basis, its verdict and its readings go together', () => {
  fc.assert(
    fc.property(fc.array(anyReading, { maxLength: 6 }), anyBand, (read, given) => {
      const { value, basis, verdict, used } = judged(given, read);
      const missing = Number.isNaN(value);
      expect(basis === 'not measured').toBe(missing);
      expect(verdict === code('verdict', 'not measured')).toBe(missing);
      expect(used === 0).toBe(missing);
      expect(used).toBeLessThanOrEqual(read.length);
    }),
  );
});

test('holds more readings than it was made for', () => {
  const many = steps(500, 5, 300).map((speed) => ({ speed, rack: speed / 100, delivery: NaN }));
  expect(judged(rackAt(1502.5), many)).toMatchObject({ basis: 'as read', used: 6 });
  expect(judged(rackAt(1502.5), many).value).toBeCloseTo(15.025, 12);
});
