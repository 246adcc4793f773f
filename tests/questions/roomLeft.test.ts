import { mean, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { seededChance } from '../../lib/stats/shuffle';
import { UNFILTERED, type Filters } from '../../lib/store/filters';
import type { RoomFigure } from '../../lib/store/leftPlaces';
import {
  cpkOf,
  FEWEST_LEFT,
  isPast,
  isTold,
  leastRoom,
  roomLeft,
  type RoomLeft,
} from '../../lib/store/questions/roomLeft';
import { logOf } from '../store/openLog';

/** Sheets of four elements: revision A with 78 to 82 mm3 at the base, B with 40 to 60; both 2.05 to 2.15 mm of lift. */
const sheets = {
  'specs.csv': `spec_id,revision,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,phasing_tol_deg,lift_rate_mm_per_deg
K-1,A,Kestrel,4,1-3-4-2,2.10,0.05,0.05,0.5,0.2
K-1,B,Kestrel,4,1-3-4-2,2.10,0.05,0.05,0.5,0.2
M-1,A,Merlin,4,1-3-4-2,2.10,0.05,0.05,,0.2
`,
  'test_points.csv': `spec_id,revision,test_point,purpose,order,speed_rpm,rack_mm,low_mm3,high_mm3,spread,spread_basis
K-1,A,full,base,1,1000,12,78,82,4,range_mm3
K-1,B,full,base,1,1000,12,40,60,4,range_mm3
M-1,A,full,base,1,1000,12,78,82,,
`,
};

interface Run {
  readonly run: number;
  /** Of the four elements [mm3/stroke]. */
  readonly drawn?: readonly number[];
  /** Reference lift [mm], and the closures of elements 1, 3, 4, 2 [deg]. */
  readonly lift?: number;
  readonly closed?: readonly number[];
}
interface Card {
  readonly id: string;
  readonly serial?: string;
  readonly spec?: string;
  readonly on?: string;
  readonly bench?: string;
  readonly work?: string;
  readonly runs: readonly Run[];
}

const logFiles = (cards: readonly Card[]): Record<string, string> => ({
  ...sheets,
  'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type,bench_id\n${cards
    .map(({ id, serial = id, spec = 'K-1,A', on = '2024-03-04', bench = 'B1', work = 'recalibrate' }) => {
      const model = spec.startsWith('M') ? 'Merlin' : 'Kestrel';
      return `${id},${serial},${model},${spec},${on},${work},${bench}`;
    })
    .join('\n')}\n`,
  'closures.csv': `job_id,run,element,cam_deg,lift_mm\n${cards
    .flatMap(({ id, runs }) =>
      runs.flatMap(({ run, lift, closed = [] }) =>
        closed.map((deg, k) => `${id},${run},${[1, 3, 4, 2][k] ?? 0},${deg},${k === 0 ? (lift ?? '') : ''}`),
      ),
    )
    .join('\n')}\n`,
  'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm\n${cards
    .flatMap(({ id, runs }) =>
      runs.flatMap(({ run, drawn = [] }) =>
        drawn.map((mm3, k) => `${id},${run},full,1,${k + 1},${mm3 / 2},500,1000,12`),
      ),
    )
    .join('\n')}\n`,
});

async function answerOf(cards: readonly Card[], filters: Filters = UNFILTERED): Promise<RoomLeft[]> {
  const log = await logOf(logFiles(cards));
  try {
    return z.array(roomLeft.row).parse(await log.db.rows(roomLeft.sql, roomLeft.params(filters)));
  } finally {
    await log.db.close();
  }
}
const of = (rows: readonly RoomLeft[], figure: RoomFigure, model = 'Kestrel'): RoomLeft | undefined =>
  rows.find((row) => row.figure === figure && row.pump_model === model);
const alike = (mm3: number): readonly number[] => [mm3, mm3, mm3, mm3];

describe('figures as parts of their bands', () => {
  it('are those of the last run after assembly, one of each a job', async () => {
    const rows = await answerOf([
      {
        id: 'J-1',
        runs: [
          { run: 0, lift: 2.15, closed: [0, 92, 180, 270], drawn: alike(70) },
          { run: 1, lift: 2.12, closed: [0, 91, 180, 270], drawn: alike(83) },
          { run: 2, lift: 2.11, closed: [0, 90.2, 179.6, 270], drawn: [80, 80, 82, 82] },
        ],
      },
    ]);
    expect(rows.map(({ figure, n }) => [figure, n])).toEqual([
      ['lift', 1],
      ['phasing', 1],
      ['delivery', 1],
      ['spread', 1],
    ]);
    // 2.11 in 2.05 to 2.15; 0.4 of 0.5 deg, early, by its size; mean 81 in 78 to 82; a range of 2 of 4.
    expect(of(rows, 'lift')?.mean).toBeCloseTo(0.2, 9);
    expect(of(rows, 'phasing')?.mean).toBeCloseTo(0.8, 9);
    expect(of(rows, 'delivery')?.mean).toBeCloseTo(0.5, 9);
    expect(of(rows, 'spread')?.mean).toBeCloseTo(0.5, 9);
    expect(rows.map(({ sides }) => sides)).toEqual(['two', 'upper', 'two', 'upper']);
  });

  it('are left out where the last run has them in part, or the job was measured as received alone', async () => {
    const rows = await answerOf([
      { id: 'J-1', runs: [{ run: 0, lift: 2.1, closed: [0, 90, 180, 270], drawn: alike(80) }] },
      {
        id: 'J-2',
        runs: [
          { run: 1, lift: 2.1, closed: [0, 90, 180, 270], drawn: alike(80) },
          { run: 2, lift: 2.1, closed: [0, 90], drawn: [80, 80] },
        ],
      },
    ]);
    // The reference lift of the second job's last run stands.
    expect(rows.map(({ figure, n }) => [figure, n])).toEqual([['lift', 1]]);
  });

  it('are pooled over sheets with other bands, and those of an assumed tolerance counted', async () => {
    const rows = await answerOf([
      { id: 'J-1', runs: [{ run: 1, drawn: alike(81) }] },
      { id: 'J-2', spec: 'K-1,B', runs: [{ run: 1, drawn: alike(45) }] },
      { id: 'J-3', spec: 'M-1,A', runs: [{ run: 1, lift: 2.1, closed: [0, 90.25, 180, 270], drawn: alike(84) }] },
    ]);
    expect(of(rows, 'delivery')).toMatchObject({ n: 2, mean: 0 });
    expect(of(rows, 'delivery')?.sd).toBeCloseTo(Math.SQRT1_2, 9);
    expect(of(rows, 'phasing', 'Merlin')).toMatchObject({ n: 1, assumed: 1, mean: 0.5, sd: null });
    expect(of(rows, 'delivery', 'Merlin')?.outside).toMatchObject({ k: 1, n: 1 });
    // The sheet of the second model asks no spread.
    expect(of(rows, 'spread', 'Merlin')).toBeUndefined();
  });

  it('leave out rounds of the benches', async () => {
    const round = (id: string, bench: string, on: string): Card => ({
      ...{ id, bench, on, serial: 'S-1', work: 'test' },
      runs: [{ run: 1, drawn: alike(80) }],
    });
    const rows = await answerOf([
      round('J-1', 'B1', '2024-03-04'),
      round('J-2', 'B2', '2024-03-05'),
      { id: 'J-3', runs: [{ run: 1, drawn: alike(80) }] },
    ]);
    expect(of(rows, 'delivery')?.n).toBe(1);
  });
});

describe('room left', () => {
  const thirty = (mm3: (k: number) => number, jobs = 30): Card[] =>
    Array.from({ length: jobs }, (_, k) => ({ id: `J-${k}`, runs: [{ run: 1, drawn: alike(mm3(k)) }] }));

  it('is told by hand-worked figures: thirty jobs half a band either way', async () => {
    const room = of(await answerOf(thirty((k) => (k % 2 === 0 ? 79 : 81))), 'delivery');
    // s = 0.5 sqrt(30/29) = 0.50855; Cp = 1/(3 s) = 0.6555, its interval with chi-square 16.047 and 45.722 of 29 (tables): 0.488 to 0.823.
    expect(room?.sd).toBeCloseTo(0.50855, 5);
    if (room?.told?.capability.kind !== 'told') throw new Error('no index');
    const { capability, reckoned, counted } = room.told;
    expect(capability.cp?.value).toBeCloseTo(0.6555, 4);
    expect(capability.cp?.low).toBeCloseTo(0.488, 3);
    expect(capability.cp?.high).toBeCloseTo(0.823, 3);
    // 0.6555 -+ 1.96 sqrt(1/270 + 0.4296/58) = 0.6555 -+ 0.2066.
    expect(capability.cpk.low).toBeCloseTo(0.4489, 3);
    expect(capability.cpk.high).toBeCloseTo(0.8621, 3);
    // Hahn's table of 1970 (read in a copy): 2.55 standard deviations for thirty readings, 95 % at 95 %.
    expect(reckoned.high / 0.50855).toBeCloseTo(2.55, 1);
    expect(reckoned.low).toBeCloseTo(-reckoned.high, 9);
    // From smallest to largest of thirty; the share that holds solves 30 p^29 - 29 p^30 = 0.05.
    expect(counted).toMatchObject({ low: -0.5, high: 0.5 });
    expect(30 * counted.share ** 29 - 29 * counted.share ** 30).toBeCloseTo(0.05, 9);
  });

  it('is not told of fewer than 25 jobs, and has no index where all left alike', async () => {
    const few = of(await answerOf(thirty((k) => 79 + k / 12, FEWEST_LEFT - 1)), 'delivery');
    expect(few).toMatchObject({ n: 24, told: null });
    const same = of(await answerOf(thirty(() => 81)), 'delivery');
    expect(same?.told).toMatchObject({
      capability: { kind: 'no_scatter', within: true },
      reckoned: { low: 0.5, high: 0.5 },
      counted: { low: 0.5, high: 0.5 },
    });
  });

  it.each([200, 60])(
    'is least where surely the most left outside, not where one slip of the pen reaches far, of %i jobs each',
    async (jobs) => {
      const rows = await answerOf([
        // A tenth of the Merlins leaves a little past the limit; one Kestrel was written down ten times too high.
        ...thirty((k) => (k % 10 === 0 ? 82.1 : 79 + (k % 4)), jobs).map((card) => ({
          ...card,
          spec: 'M-1,A',
          id: `M${card.id}`,
        })),
        ...thirty((k) => (k === 0 ? 800 : 79 + (k % 3)), jobs),
      ]);
      const [kestrel, merlin] = rows.filter(isTold).filter(({ figure }) => figure === 'delivery');
      if (kestrel === undefined || merlin === undefined) throw new Error('a model is missing');
      expect(cpkOf(kestrel)?.value).toBeLessThan(cpkOf(merlin)?.value ?? NaN);
      expect(leastRoom([kestrel, merlin])).toBe(merlin);
      // With few jobs even what is counted reaches to the slip.
      expect([isPast(kestrel), isPast(merlin)]).toEqual([jobs < 93, true]);
      expect(merlin.outside.k).toBe(jobs / 10);
      expect(leastRoom([])).toBeUndefined();
    },
  );

  it('counts the places of an interval that leaves some out at either end, from 93 jobs on', async () => {
    // 200 jobs a hundredth of the half band apart.
    const room = of(await answerOf(thirty((k) => 78.02 + 0.02 * k, 200)), 'delivery');
    const rising = Array.from({ length: 200 }, (_, k) => -0.99 + 0.01 * k);
    const place = rising.findIndex((value) => Math.abs(value - (room?.told?.counted.low ?? NaN)) < 1e-6);
    expect(room?.told?.counted.high).toBeCloseTo(-(room?.told?.counted.low ?? NaN) + 0.01, 6);
    expect(room?.told?.counted.share).toBe(0.95);
    // With one left out at either end the rest holds 95 % with a chance of 0.991, with two of 0.938 (scipy 1.17.1, Beta(197, 4) and Beta(195, 6)).
    expect(place).toBe(1);
  });
});

describe('a shop with planted scatter', () => {
  const chance = seededChance(20);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance());
  // Kestrels leave in the middle with a scatter of 0.3 of the half band, Merlins half a half band high with 0.2.
  const places = Array.from({ length: 400 }, (_, k) => (k % 2 === 0 ? 0.3 * normal() : 0.5 + 0.2 * normal()));
  const cards = places.map((place, k): Card => ({
    id: `J-${k}`,
    spec: k % 2 === 0 ? (k % 4 === 0 ? 'K-1,A' : 'K-1,B') : 'M-1,A',
    bench: k % 8 < 4 ? 'B1' : 'B2',
    runs: [{ run: 1, drawn: alike(k % 4 === 2 ? 50 + 10 * place : 80 + 2 * place) }],
  }));

  it('is found again: mean, scatter, index, and where the pumps lie', async () => {
    const rows = await answerOf(cards);
    const [kestrel, merlin] = [of(rows, 'delivery'), of(rows, 'delivery', 'Merlin')];
    const own = places.filter((_, k) => k % 2 === 0);
    expect(kestrel?.mean).toBeCloseTo(mean(own), 9);
    expect(kestrel?.sd).toBeCloseTo(sampleStandardDeviation(own), 9);
    if (kestrel === undefined || merlin === undefined || !isTold(kestrel) || !isTold(merlin))
      throw new Error('a model is missing');
    // Cpk as planted: 1 / 0.9, and 0.5 / 0.6.
    for (const [room, planted] of [
      [kestrel, 1 / 0.9],
      [merlin, 0.5 / 0.6],
    ] as const) {
      expect(cpkOf(room)?.low).toBeLessThan(planted);
      expect(cpkOf(room)?.high).toBeGreaterThan(planted);
    }
    // 95 of 100 lie within 1.96 planted standard deviations; an interval that holds them reaches further, by less than a third here.
    for (const ends of [kestrel.told.reckoned, kestrel.told.counted]) {
      expect(ends.low).toBeLessThan(-1.96 * 0.3);
      expect(ends.low).toBeGreaterThan(-1.33 * 1.96 * 0.3);
      expect(ends.high).toBeGreaterThan(1.96 * 0.3);
      expect(ends.high).toBeLessThan(1.33 * 1.96 * 0.3);
    }
    const out = places.filter((place, k) => k % 2 === 1 && place > 1).length;
    expect(merlin.outside.k).toBe(out);
  });

  it('follows the filters', async () => {
    const rows = await answerOf(cards, { ...UNFILTERED, model: 'Merlin', bench: 'B2' });
    expect(rows.map(({ pump_model, figure, n }) => [pump_model, figure, n])).toEqual([['Merlin', 'delivery', 100]]);
    expect(await answerOf(cards, { ...UNFILTERED, from: '2025-01-01' })).toEqual([]);
  });
});
