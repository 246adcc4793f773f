import { mean, sampleVariance } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { UNFILTERED, type Filters } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { benchMoves } from '../../lib/store/questions/benchMoves';
import { benchOffsets } from '../../lib/store/questions/benchOffsets';
import { gaugesDue } from '../../lib/store/questions/gaugesDue';
import { benchStudy, crossedPart, repeatStudy } from '../../lib/store/questions/gaugeStudy';
import { repeatDraws } from '../../lib/store/questions/repeatDraws';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

/** A whole draw at the full-load point, which is the base here: its band is 78 to 82, the middle 80 mm3 a stroke. */
interface Drawn {
  readonly run: number;
  readonly repeat?: number;
  /** Of all four elements [mm3/stroke]; a tenth of a cm3 over 500 strokes is 0.2. */
  readonly mm3: number;
  readonly rack?: number;
}
interface Card {
  readonly id: string;
  readonly serial?: string;
  readonly bench: string;
  readonly on: string;
  readonly work?: string;
  readonly draws: readonly Drawn[];
}

const logFiles = (cards: readonly Card[]): Record<string, string> => ({
  ...smallLog,
  'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type,bench_id\n${cards
    .map(({ id, serial = id, bench, on, work = 'test' }) => `${id},${serial},Kestrel,K-1,A,${on},${work},${bench}`)
    .join('\n')}\n`,
  'closures.csv': 'job_id,run,element,cam_deg\n',
  'shims.csv': 'job_id,run,element,before_mm,after_mm\n',
  'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm\n${cards
    .flatMap(({ id, draws }) =>
      draws.flatMap(({ run, repeat = 1, mm3, rack = 12 }) =>
        [1, 2, 3, 4].map((element) => `${id},${run},full,${repeat},${element},${mm3 / 2},500,1000,${rack}`),
      ),
    )
    .join('\n')}\n`,
});

async function answerOf<Row>(of: Question<Filters, Row>, files: Readonly<Record<string, string>>): Promise<Row[]> {
  const log = await logOf(files);
  try {
    return z.array(of.row).parse(await log.db.rows(of.sql, of.params(UNFILTERED)));
  } finally {
    await log.db.close();
  }
}

const day = (quarter: number, k: number): string =>
  `${2020 + Math.floor(quarter / 4)}-${String(1 + 3 * (quarter % 4)).padStart(2, '0')}-${String(k + 1).padStart(2, '0')}`;

describe('offsets between benches', () => {
  // Twelve quarters, six jobs a quarter and bench, each reading 80 plus or minus 0.8 (1 %); from the seventh quarter on B2 reads 2 % more.
  const cards = Array.from({ length: 12 * 12 }, (_, k): Card => {
    const [quarter, place] = [Math.floor(k / 12), k % 12];
    const bench = place < 6 ? 'B1' : 'B2';
    const level = bench === 'B2' && quarter >= 6 ? 1.6 : 0;
    return {
      id: `J${k}`,
      bench,
      on: day(quarter, place),
      draws: [{ run: 0, mm3: 80 + level + (k % 2 === 0 ? 0.8 : -0.8) }],
    };
  });

  it('are told over all jobs, and since the quarter in which a bench moved', async () => {
    const [told] = await answerOf(benchOffsets, logFiles(cards));
    expect(told).toMatchObject({ read: 144, n: 144, thin: [] });
    expect(told?.benches.map(({ bench_id, n }) => [bench_id, n])).toEqual([
      ['B1', 72],
      ['B2', 72],
    ]);
    expect(told?.benches[0]?.offset).toBeCloseTo(-1, 9);
    expect(told?.benches[1]?.offset).toBeCloseTo(1, 9);
    expect(told?.quarters).toHaveLength(24);
    const moved = told?.changes.find(({ bench_id }) => bench_id === 'B2');
    expect(moved?.quarter).toBe('2021-07-01');
    expect(moved?.before?.offset).toBeCloseTo(0, 9);
    expect(moved?.since?.offset).toBeCloseTo(2, 9);
    expect(moved?.since?.low).toBeGreaterThan(0);
  });

  it("have Welch's interval, for as many benches as are told", async () => {
    const [told] = await answerOf(benchOffsets, logFiles(cards));
    // In percent: B1 reads 0 give or take 1; B2 likewise in one half of the quarters and 2 more in the other.
    const one = Array.from({ length: 72 }, (_, k) => (k % 2 === 0 ? 1 : -1));
    const two = one.map((value, k) => value + (k < 36 ? 0 : 2));
    const error = Math.sqrt(sampleVariance(one) / 72 + sampleVariance(two) / 72);
    // Student's t at 0.9875 (95 % for two benches together) with Welch's 127.8 degrees of freedom: scipy 1.17.1.
    const half = 2.268117215806158 * error;
    const difference = mean(two) - mean(one);
    expect(told?.benches[1]?.low).toBeCloseTo(difference - half, 6);
    expect(told?.benches[1]?.high).toBeCloseTo(difference + half, 6);
  });

  it('are not told of a bench with fewer than ten jobs, nor of one by itself', async () => {
    const few = cards.filter(({ bench }, k) => bench === 'B1' || k < 20);
    const [thin] = await answerOf(benchOffsets, logFiles(few));
    expect(thin).toMatchObject({ benches: [], quarters: [], changes: [] });
    expect(thin?.thin).toContain('B2');
    const [alone] = await answerOf(benchOffsets, logFiles(cards.filter(({ bench }) => bench === 'B1')));
    expect(alone).toMatchObject({ benches: [], n: 0, read: 72 });
  });

  it('are told by pumps that changed benches, with wear cancelled', async () => {
    // Left at 80 or 82; read 1 % less for wear, and B2 reads 2 % more than B1.
    const moves = Array.from({ length: 40 }, (_, k): Card[] => {
      const [serial, level] = [`P${k}`, k % 4 < 2 ? 80 : 82];
      const [from, to] = k % 2 === 0 ? (['B1', 'B2'] as const) : (['B2', 'B1'] as const);
      const shift = (to === 'B2' ? 2 : -2) - 1 + (k % 8 < 4 ? 0.5 : -0.5);
      return [
        { id: `${serial}a`, serial, bench: from, on: '2023-01-05', draws: [{ run: 1, mm3: level }] },
        { id: `${serial}b`, serial, bench: to, on: '2023-09-05', draws: [{ run: 0, mm3: level * (1 + shift / 100) }] },
      ];
    }).flat();
    const [told] = await answerOf(benchMoves, logFiles(moves));
    expect(told?.n).toBe(40);
    expect(told?.benches.map(({ bench_id, came, went }) => [bench_id, came, went])).toEqual([
      ['B1', 20, 20],
      ['B2', 20, 20],
    ]);
    expect(told?.benches[1]?.offset?.offset).toBeCloseTo(2, 9);
    expect(told?.benches[0]?.offset?.offset).toBeCloseTo(-2, 9);
    const [late] = await answerOf(
      benchMoves,
      logFiles(moves.map((card) => (card.id.endsWith('b') ? { ...card, on: '2025-02-05' } : card))),
    );
    expect(late?.n).toBe(0);
  });

  it('do not take what a rebuild changed between two rounds of the benches for a bench', async () => {
    // B2 reads 2 % more. Each pump goes round both benches, is rebuilt on B1 to 90 mm3 a stroke, and goes round again.
    const twice = (mm3: number): Card['draws'] => [
      { run: 0, mm3 },
      { run: 1, mm3 },
    ];
    const cards = Array.from({ length: 12 }, (_, k): Card[] => {
      const serial = `S${k}`;
      const level = 80 + 0.04 * (k % 3);
      const high = 1.02 + 0.0005 * (k % 2);
      return [
        { id: `${serial}a`, serial, bench: 'B1', on: '2023-01-10', draws: twice(level) },
        { id: `${serial}b`, serial, bench: 'B2', on: '2023-01-11', draws: twice(level * high) },
        {
          ...{ id: `${serial}c`, serial, bench: 'B1', on: '2023-06-01', work: 'rebuild' },
          draws: [
            { run: 0, mm3: level },
            { run: 1, mm3: 90 },
          ],
        },
        { id: `${serial}d`, serial, bench: 'B1', on: '2024-01-10', draws: twice(90) },
        { id: `${serial}e`, serial, bench: 'B2', on: '2024-01-11', draws: twice(90 * high) },
      ];
    }).flat();
    const [told] = await answerOf(benchMoves, logFiles(cards));
    expect(told?.benches.map(({ bench_id, came, went }) => [bench_id, came, went])).toEqual([
      ['B1', 12, 24],
      ['B2', 24, 12],
    ]);
    expect(told?.benches[1]?.offset?.offset).toBeCloseTo(2, 1);
  });
});

describe('repeat draws', () => {
  // Ten jobs, 0.4 apart from draw to draw: a variance of 0.08 in each element. A third draw with the rack off does not count.
  const cards = Array.from({ length: 10 }, (_, k): Card => ({
    id: `J${k}`,
    bench: 'B1',
    on: day(0, k),
    draws: [
      { run: 1, mm3: 80 + 0.4 * k },
      { run: 1, repeat: 2, mm3: 80.4 + 0.4 * k },
      { run: 1, repeat: 3, mm3: 90, rack: 13 },
    ],
  }));

  it('have one standard deviation a bench, draws that do not count left out', async () => {
    const rows = await answerOf(repeatDraws, logFiles(cards));
    expect(
      rows.map(({ bench_id, test_point, readings, repeats }) => [bench_id, test_point, readings, repeats]),
    ).toEqual([
      ['B1', null, 40, 10],
      ['B1', 'full', 40, 10],
    ]);
    expect(rows[0]?.sd?.sd).toBeCloseTo(Math.sqrt(0.08), 9);
    // Chi-square with 10 degrees of freedom: 20.4832 and 3.2470.
    expect(rows[0]?.sd?.low).toBeCloseTo(Math.sqrt(0.8 / 20.4832), 4);
    expect(rows[0]?.sd?.high).toBeCloseTo(Math.sqrt(0.8 / 3.247), 4);
  });

  it('are too few below ten', async () => {
    const [row] = await answerOf(repeatDraws, logFiles(cards.slice(1)));
    expect(row).toMatchObject({ repeats: 9, sd: null });
    const [study] = await answerOf(repeatStudy, logFiles(cards.slice(1)));
    expect(study).toMatchObject({ jobs: 9, within: null, between: null });
  });

  it('part the scatter of the whole pump from that of the jobs', async () => {
    const [study] = await answerOf(repeatStudy, logFiles(cards));
    // In percent of 80: pairs 0.5 apart, variance 0.125; means of jobs 0.5 apart from 0 to 4.5, variance 2.2917, less half of it.
    expect(study?.jobs).toBe(10);
    expect(study?.within?.sd).toBeCloseTo(Math.sqrt(0.125), 9);
    expect(study?.between?.sd).toBeCloseTo(Math.sqrt(2.291666666666667 - 0.0625), 9);
    expect(study?.half_band).toBeCloseTo(2.5, 9);
  });
});

describe('a study of benches', () => {
  const pump = (serial: string, level: number, work = 'test'): Card[] =>
    ['B1', 'B2'].map((bench, k) => ({
      id: `${serial}-${bench}`,
      serial,
      bench,
      work,
      on: `2024-03-0${k + 1}`,
      draws: [
        { run: 0, mm3: level + 0.8 * k },
        { run: 0, repeat: 2, mm3: level + 0.8 * k + 0.2 },
      ],
    }));

  it('is made of pumps that were tested untouched on the same benches', async () => {
    const cards = [78, 79, 80, 81, 82].flatMap((level) => pump(`P${level}`, level));
    const [found] = await answerOf(benchStudy, logFiles(cards));
    expect(found).toMatchObject({ pumps: 5, benches: ['B1', 'B2'] });
    expect(found?.study).toMatchObject({ parts: 5, operators: 2, trials: 2 });
    // In percent of 80: benches 1 % apart, a variance of 0.5; the one of repeats is 0.03125 and is spread over 20 readings less 6.
    expect(found?.study?.chosen.operator.sd).toBeGreaterThan(0.69);
    expect(found?.study?.chosen.operator.sd).toBeLessThan(0.71);
  });

  it('is not enough data with four pumps, or where pumps were worked on', async () => {
    const four = [78, 79, 80, 81].flatMap((level) => pump(`P${level}`, level));
    expect((await answerOf(benchStudy, logFiles(four)))[0]).toMatchObject({ study: null, pumps: 4 });
    const worked = [...four, ...pump('P82', 82, 'rebuild')];
    expect((await answerOf(benchStudy, logFiles(worked)))[0]).toMatchObject({ study: null, pumps: 4 });
  });

  it('takes the pumps that went over one set of benches, as many draws each', () => {
    const reading = (part: string, operator: string, value: number) => ({ part, operator, value });
    const crossed = crossedPart([
      reading('P', 'B1', 1),
      reading('P', 'B1', 2),
      reading('P', 'B2', 3),
      reading('Q', 'B2', 4),
      reading('Q', 'B1', 5),
      reading('R', 'B1', 6),
      reading('R', 'B3', 7),
      reading('S', 'B1', 8),
    ]);
    expect(crossed.map(({ value }) => value)).toEqual([1, 3, 4, 5]);
    expect(crossedPart([])).toEqual([]);
  });
});

describe('gauges', () => {
  it('are due against the last day of the log, and jobs against the calibration then in force', async () => {
    const on = ['2024-01-10', '2024-02-01', '2024-03-05', '2024-06-30'];
    const files = logFiles(on.map((received, k) => ({ id: `J${k}`, bench: 'B1', on: received, draws: [] })));
    const rows = await answerOf(gaugesDue, {
      ...files,
      'instruments.csv': `instrument_id,kind,calibrated_on,due_on
DG,dial gauge,2023-02-01,2024-02-01
DG,dial gauge,2024-03-05,2025-03-05
DG,dial gauge,2024-09-01,2025-09-01
GR,graduate,2023-06-30,2024-06-30
TA,tachometer,2023-07-20,2024-07-20
`,
      'closures.csv': `job_id,run,element,cam_deg,instrument_id\n${on.map((_, k) => `J${k},1,1,0,DG`).join('\n')}\nJ3,1,2,270,XX\n`,
    });
    const brief = rows.map((row) => [
      row.instrument_id,
      row.standing,
      row.due_on,
      row.days_over,
      row.jobs,
      row.past_jobs,
    ]);
    // The calibration of September is not known yet on 30 June; of the four jobs one came in on the day due, before the next calibration.
    expect(brief).toEqual([
      ['XX', 'no calibration', null, null, 1, 0],
      ['GR', 'past its date', '2024-06-30', 0, 0, 0],
      ['TA', 'due soon', '2024-07-20', -20, 0, 0],
      ['DG', 'in date', '2025-03-05', -248, 4, 1],
    ]);
    expect(rows[3]).toMatchObject({ last_day: '2024-06-30', past_first: '2024-02-01', past_last: '2024-02-01' });
  });
});
