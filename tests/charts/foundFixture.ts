import type { Found, SearchAnswer } from '../../lib/find/types';

/** An answer of the search, made up: one finding of each kind that is drawn or told in a way of its own. */

type Point = Found['points'][number];

const DAY_MS = 24 * 3600 * 1000;
const FIRST = Date.UTC(2018, 0, 8);

/** Evenly spread over 0 to 1, the same each time. */
const spread = (i: number, by: number): number => (i * by) % 1;

interface Made {
  readonly n: number;
  readonly inGroup: (i: number, day: string) => boolean;
  readonly value: (inGroup: boolean, i: number, day: string) => number;
}

/** One job every eight days or so from 2018 to 2025. */
const pointsOf = ({ n, inGroup, value }: Made): readonly Point[] =>
  Array.from({ length: n }, (_, i) => {
    const day = new Date(FIRST + Math.floor((i * 2900) / n) * DAY_MS).toISOString().slice(0, 10);
    const within = inGroup(i, day);
    return { job: 1 + Math.floor((i * 2500) / n), day, value: value(within, i, day), inGroup: within };
  });

const behind = (points: readonly Point[]): readonly number[] => [
  ...new Set(points.filter((point) => point.inGroup).map((point) => point.job)),
];

const bench = pointsOf({
  n: 360,
  inGroup: (i, day) => day >= '2021-06-01' && i % 3 === 0,
  value: (inGroup, i) => (inGroup ? 2.6 : 0.1) + 3 * (spread(i, 0.618034) - 0.5),
});
const element = pointsOf({
  n: 420,
  inGroup: (i) => i % 6 === 2,
  value: (inGroup, i) => (inGroup ? 0.41 : 0.02) + 0.6 * (spread(i, 0.618034) - 0.5),
});
const revision = pointsOf({
  n: 240,
  inGroup: (i) => i % 4 === 0,
  value: (inGroup, i, day) => (inGroup && day >= '2021-03-01' && day <= '2022-08-31' && i % 5 !== 0 ? 1 : 0),
});
const early = pointsOf({
  n: 200,
  inGroup: (i) => i % 10 === 0,
  value: (inGroup, i) => (inGroup ? (i % 3 === 0 ? 1 : 0) : i % 12 === 1 ? 1 : 0),
});

export const benchReadsHigh: Found = {
  id: 'delivery-as-received.bench.B2',
  measure: 'delivery as received',
  where: [{ factor: 'bench', level: 'B2' }],
  certainty: 'certain',
  group: { n: 66, value: 2.6, low: 2.3, high: 2.9 },
  rest: { n: 294, value: 0.1, low: -0.1, high: 0.2 },
  difference: { value: 2.5, low: 2.1, high: 2.9 },
  p: 1e-12,
  adjusted: 4e-10,
  since: { day: '2021-06-03', p: 0.0005 },
  until: null,
  others: [{ level: { factor: 'branch', level: 'Saltmarsh' }, left: 2.4 }],
  cost: { over: false, jobs: 14.4, hours: { low: 12.2, high: 41.7 }, parts: [] },
  jobs: behind(bench),
  points: bench,
};

export const closesLate: Found = {
  id: 'phase-error.Heron.element.3',
  measure: 'phase error as first measured',
  where: [
    { factor: 'model', level: 'Heron' },
    { factor: 'element', level: '3' },
  ],
  certainty: 'certain',
  group: { n: 70, value: 0.41, low: 0.37, high: 0.46 },
  rest: { n: 350, value: 0.02, low: 0, high: 0.04 },
  difference: { value: 0.39, low: 0.34, high: 0.44 },
  p: 1e-9,
  adjusted: 3e-7,
  since: null,
  until: null,
  others: [],
  cost: { over: false, jobs: 9, hours: { low: 20, high: 60 }, parts: [] },
  jobs: behind(element),
  points: element,
};

export const oldRevision: Found = {
  id: 'superseded-revision.Heron.branch.Saltmarsh',
  measure: 'superseded revision',
  where: [
    { factor: 'model', level: 'Heron' },
    { factor: 'branch', level: 'Saltmarsh' },
  ],
  certainty: 'certain',
  group: { n: 60, value: 0.17, low: 0.09, high: 0.28 },
  rest: { n: 180, value: 0, low: 0, high: 0.02 },
  difference: { value: 0.17, low: 0.08, high: 0.28 },
  p: 2e-5,
  adjusted: 0.004,
  since: { day: '2021-03-02', p: 0.001 },
  until: '2022-08-27',
  others: [{ level: { factor: 'bench', level: 'B1' }, left: Number.NaN }],
  cost: { over: true, jobs: 10, hours: null, parts: [] },
  jobs: behind(revision),
  points: revision,
};

export const backEarly: Found = {
  id: 'comes-back-early.complaint.smokes',
  measure: 'comes back early',
  where: [{ factor: 'complaint', level: 'smokes' }],
  certainty: 'worth a look',
  group: { n: 20, value: 0.3, low: 0.15, high: 0.52 },
  rest: { n: 180, value: 0.09, low: 0.06, high: 0.14 },
  difference: { value: 0.21, low: 0.02, high: 0.42 },
  p: 0.004,
  adjusted: 0.048,
  since: null,
  until: null,
  others: [{ level: { factor: 'work type', level: 'rebuild' }, left: 0.11 }],
  cost: null,
  jobs: behind(early),
  points: early,
};

export const answerOf = (...found: readonly Found[]): SearchAnswer => ({
  found,
  comparisons: 1412,
  tooFew: 96,
  jobs: 2500,
});

export const madeUp = answerOf(benchReadsHigh, closesLate, oldRevision, backEarly);
