import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sameComplaint, samePump, type PumpHistory } from '../../lib/report/many/samePump';
import { faultSays, otherSays } from '../../lib/report/many/samePumpWords';
import type { SamePumpElement, SamePumpJob } from '../../lib/store/questions/samePump';
import { inLogUnits } from '../../lib/words/figures';

const job = (job_id: string, received_on: string, change: Partial<SamePumpJob> = {}): SamePumpJob => ({
  job_id,
  received_on,
  left_on: received_on,
  work_type: 'recalibrate',
  warranty: null,
  complaint: null,
  note: null,
  engine_hours: null,
  elements: 4,
  first_pass: 'not counted',
  as_left: 'not measured',
  breaking: 0,
  weakening: 0,
  light_point: null,
  scatter_received: null,
  scatter_left: null,
  stated_retention: null,
  ...change,
});
const bare: Omit<SamePumpElement, 'job_id' | 'element'> = {
  fitted: false,
  points: 'low over full',
  retention_received: null,
  retention_left: null,
  leak_rack_mm: 12,
  leak_received: null,
  leak_left: null,
  shim_mm: null,
  turned_deg: null,
  rotation_used_deg: null,
  slot_deg: null,
};
/** The four elements of a job, each with what `of` says of it. */
const four = (job_id: string, of: (i: number) => Partial<SamePumpElement> = () => ({})): SamePumpElement[] =>
  [0, 1, 2, 3].map((i) => ({ ...bare, job_id, element: i + 1, ...of(i) }));
const history = (jobs: readonly SamePumpJob[], elements: readonly SamePumpElement[] = []): PumpHistory => ({
  jobs,
  elements,
  findings: [],
});
const kinds = (lines: readonly { readonly kind: string }[]): string[] => lines.map(({ kind }) => kind);
const at = <T>(values: readonly T[], i: number): T => {
  const value = values[i];
  if (value === undefined) throw new Error(`No value at ${i}`);
  return value;
};

describe('complaints', () => {
  it.each([
    ['Low power', 'power; LOW.', true],
    ['low power', 'low power, low', true],
    ['low power', 'low powers', false],
    ['Überholung fällig', 'fällig: überholung', true],
    ['...', 'low power', null],
    [null, 'low power', null],
  ])('%s and %s', (one, other, same) => {
    expect(sameComplaint(one, other)).toBe(same);
  });

  it('are the same in any order and with any signs between', () => {
    const words = fc.array(fc.stringMatching(/^[a-zäöü0-9]{1,8}$/), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(words, fc.constantFrom(' ', ', ', ' - ', '/'), (said, sign) => {
        expect(sameComplaint(said.join(' '), said.toReversed().join(sign).toUpperCase())).toBe(true);
      }),
    );
  });
});

describe('a pump that is back', () => {
  const repair = job('A', '2024-01-31', { complaint: 'smokes', engine_hours: 5000, as_left: 'in' });
  const back = job('B', '2024-02-29', { complaint: 'Smokes!', engine_hours: 5300 });

  it('with the same complaint within the months and few hours speaks for a fault of the repair', () => {
    const { fault, other, repair: last } = samePump(history([repair, back]), 'B', 1);
    expect(last?.job_id).toBe('A');
    expect(fault).toEqual([
      { kind: 'same complaint', then: 'smokes', now: 'Smokes!', months: 1, days: 29, hours: 300 },
    ]);
    // A repair whose proof stands is told beside it.
    expect(kinds(other)).toEqual(['proof stands']);
  });

  it('a day after the months, or after many hours, no longer does', () => {
    const late = { ...back, received_on: '2024-03-01' };
    expect(samePump(history([repair, late]), 'B', 1).fault).toEqual([]);
    const used = samePump(history([repair, { ...back, engine_hours: 6001 }]), 'B', 1);
    expect(used.fault).toEqual([]);
    expect(used.other).toContainEqual({ kind: 'hours run', hours: 1001, few: 1000 });
  });

  it('with another complaint, or none stated, is told by what there is', () => {
    const otherwise = samePump(history([repair, { ...back, complaint: 'leaks', engine_hours: 4000 }]), 'B', 6);
    // The meter went back, so no hours are told.
    expect(otherwise.fault).toEqual([{ kind: 'back soon', months: 6, days: 29, hours: null }]);
    expect(kinds(otherwise.other)).toEqual(['other complaint', 'proof stands']);
    expect(kinds(samePump(history([repair, { ...back, complaint: null }]), 'B', 6).other)).toEqual(['proof stands']);
  });

  it('a visit for a test alone is no repair, and a first visit has nothing to be set beside', () => {
    const tested = job('T', '2024-02-10', { work_type: 'test' });
    expect(samePump(history([repair, tested, back]), 'B', 6).repair?.job_id).toBe('A');
    expect(samePump(history([tested, back]), 'B', 6)).toMatchObject({ repair: null, fault: [], other: [] });
    expect(samePump(history([repair, back]), 'A', 6).fault).toEqual([]);
    expect(samePump(history([repair]), 'Z', 6).visits).toEqual([]);
  });

  it('what was left out or open at the repair, out of tolerance, and the shop’s own word are told', () => {
    const bad = { ...repair, as_left: 'out', breaking: 2, weakening: 1 } as const;
    const told = samePump(
      {
        ...history([bad, { ...back, received_on: '2025-06-01', warranty: true }]),
        findings: [
          { job_id: 'A', finding: 'element missing', severity: 'breaks the proof', n: 1, element: 3 },
          { job_id: 'A', finding: 'shim change misreckoned', severity: 'weakens the proof', n: 1, element: null },
          { job_id: 'B', finding: 'governor missing', severity: 'breaks the proof', n: 1, element: null },
        ],
      },
      'B',
      6,
    );
    expect(kinds(told.fault)).toEqual(['warranty', 'left out of tolerance', 'left out', 'open finding']);
    expect(kinds(told.other)).toEqual([]);
    expect(faultSays(at(told.fault, 2), inLogUnits).says).toBe(
      'Left out at the last repair, element 3: The last measurement lacks elements.',
    );
  });

  it('stacks that are changed back are told, others not', () => {
    const elements = [
      ...four('A', (i) => ({ shim_mm: [0.15, 0.1, 0.1, 0.2][i] ?? 0 })),
      ...four('B', (i) => ({ shim_mm: [-0.15, 0.1, -0.05, -0.2][i] ?? 0, fitted: i === 3 })),
    ];
    const { fault, visits } = samePump(history([repair, { ...back, received_on: '2025-06-01' }], elements), 'B', 6);
    expect(fault).toEqual([{ kind: 'moved back', elements: [{ element: 1, then: 0.15, now: -0.15 }] }]);
    expect(visits.map(({ shimsMoved, shimMost }) => [shimsMoved, shimMost])).toEqual([
      [4, 0.2],
      [4, -0.2],
    ]);
  });
});

describe('wear between the two jobs', () => {
  const jobs = [job('A', '2020-01-01'), job('B', '2024-01-01')];
  const told = (then: (i: number) => Partial<SamePumpElement>, now: (i: number) => Partial<SamePumpElement>) =>
    samePump(history(jobs, [...four('A', then), ...four('B', now)]), 'B', 6).other;

  it('retention that fell by more than its changes scatter is told with its figures', () => {
    // Changes -0.10, -0.12, -0.10, -0.12: mean -0.11, standard deviation 0.02 / sqrt(3).
    const lines = told(
      () => ({ retention_left: 0.95 }),
      (i) => ({ retention_received: 0.85 - 0.02 * (i % 2) }),
    );
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatchObject({ kind: 'retention lower', n: 4, since: 'left' });
    const worse = lines[0]?.kind === 'retention lower' ? lines[0] : null;
    expect(worse?.change).toBeCloseTo(-0.11, 12);
    expect(worse?.scatter).toBeCloseTo(0.02 / Math.sqrt(3), 12);
    expect(otherSays(at(lines, 0), inLogUnits).says).toBe('Low-speed retention fell from 95.0\u00a0% to 84.0\u00a0%.');
  });

  it('one element alone, too few, a hair, another pair of points or a rise is not', () => {
    const left = () => ({ retention_left: 0.95 });
    expect(told(left, (i) => ({ retention_received: i === 0 ? 0.7 : 0.95 }))).toEqual([]);
    expect(told(left, (i) => ({ retention_received: i < 2 ? 0.5 : null }))).toEqual([]);
    expect(told(left, () => ({ retention_received: 0.94 }))).toEqual([]);
    expect(told(left, () => ({ retention_received: 0.5, points: 'low over part' }))).toEqual([]);
    expect(told(left, () => ({ retention_received: 0.99 }))).toEqual([]);
  });

  it('where nothing was read as left it goes by what was received, without elements renewed then', () => {
    const lines = told(
      (i) => ({ leak_received: i === 0 ? 9000 : 1000, fitted: i === 0 }),
      () => ({ leak_received: 2000 }),
    );
    expect(lines).toMatchObject([
      { kind: 'leak slope greater', from: 1000, to: 2000, scatter: 0, n: 3, since: 'received' },
    ]);
  });

  it('scatter over the elements is held against what chance does to a scatter of as many', () => {
    // Of four elements chance moves it by 1 / sqrt(6) of itself: 10 to 16 is less than 16 / 2.449 apart, 10 to 17 is more.
    const scattered = (to: number, point = 'light') =>
      samePump(
        history([
          job('A', '2020-01-01', { light_point: 'light', scatter_left: 10 }),
          job('B', '2024-01-01', { light_point: point, scatter_received: to }),
        ]),
        'B',
        6,
      ).other;
    expect(scattered(16)).toEqual([]);
    expect(kinds(scattered(17))).toEqual(['scatter greater']);
    expect(scattered(17, 'other')).toEqual([]);
  });

  it('slots used up at the repair and barrels renewed now are told', () => {
    const lines = told(
      (i) => ({ rotation_used_deg: [5, -5, 4.9, 0][i] ?? 0, slot_deg: 10 }),
      (i) => ({ fitted: i < 2 }),
    );
    expect(lines).toEqual([
      {
        kind: 'slot used up',
        elements: [
          { element: 1, used: 5, slot: 10 },
          { element: 2, used: -5, slot: 10 },
        ],
      },
      { kind: 'renewed now', elements: [1, 2] },
    ]);
  });

  it('worn figures left in speak one way where the card noted them and the other where it did not', () => {
    const left = (note: string | null, stated: number | null) =>
      samePump(
        history(
          [job('A', '2020-01-01', { note, stated_retention: stated }), job('B', '2024-01-01')],
          four('A', () => ({ retention_left: 0.8 })),
        ),
        'B',
        6,
      );
    expect(kinds(left('barrels worn, owner told', 0.95).other)).toEqual(['worn, noted']);
    expect(kinds(left('new washers', 0.95).fault)).toEqual(['worn, not noted']);
    expect(kinds(left(null, 0.81).fault)).toEqual([]);
    expect(left(null, null).fault).toEqual([]);
  });
});
