import type { Factor, Measure } from './types';

/** How a measure is compared. */
export interface Rule {
  readonly kind: 'rate' | 'reading';
  /** What a difference must surely exceed to be called certain [share, deg, percent, share, mm, h]; ours. */
  readonly margin: number;
  /** Which way is a fault: more than the rest, or either way. */
  readonly way: 'more' | 'either';
  /** What it may come of: jobs of a fault found in one of these are left out before it is believed. */
  readonly after: readonly Measure[];
  /** What its jobs are grouped by, the likeliest explanation first. */
  readonly factors: readonly Factor[];
}

/** Whatever goes wrong costs hours and brings pumps back. */
const EARLIER: readonly Measure[] = [
  'gauge past its date',
  'shim does what is marked',
  'delivery as received',
  'superseded revision',
  'shim changed the wrong way',
  'phase error as first measured',
  'low-speed retention deficit',
  'timing and phasing fails first',
  'a test point fails first',
  'governor fails first',
];

/**
 * The measures in the order of the search. Half the margin is what people, benches and deliveries of parts differ by in any shop:
 * less than that is not listed. The margins are ours, set by what costs a shop work (a point of the base band is a third of it, 0.1 deg a
 * fifth of the usual phasing tolerance).
 */
export const rules: Readonly<Record<Measure, Rule>> = {
  'gauge past its date': {
    kind: 'rate',
    margin: 0.02,
    way: 'more',
    after: [],
    factors: ['gauge', 'branch', 'technician'],
  },
  'shim does what is marked': {
    kind: 'reading',
    margin: 0.02,
    way: 'either',
    after: [],
    factors: ['shim batch', 'bench', 'technician'],
  },
  'low-speed retention deficit': {
    kind: 'reading',
    margin: 0.02,
    way: 'more',
    after: [],
    factors: ['element', 'branch', 'season', 'bench', 'technician'],
  },
  'delivery as received': {
    kind: 'reading',
    margin: 1,
    way: 'either',
    after: ['low-speed retention deficit'],
    factors: ['bench', 'gauge', 'branch', 'season', 'technician'],
  },
  'superseded revision': {
    kind: 'rate',
    margin: 0.02,
    way: 'more',
    after: [],
    factors: ['branch', 'bench', 'technician'],
  },
  'shim changed the wrong way': {
    kind: 'rate',
    margin: 0.02,
    way: 'more',
    after: [],
    factors: ['technician', 'bench', 'branch', 'season'],
  },
  'phase error as first measured': {
    kind: 'reading',
    margin: 0.1,
    way: 'either',
    after: ['shim does what is marked'],
    factors: ['element'],
  },
  'timing and phasing fails first': {
    kind: 'rate',
    margin: 0.1,
    way: 'more',
    after: ['gauge past its date', 'shim does what is marked', 'superseded revision', 'shim changed the wrong way'],
    factors: ['shim batch', 'bench', 'branch', 'complaint', 'season', 'technician'],
  },
  'a test point fails first': {
    kind: 'rate',
    margin: 0.1,
    way: 'more',
    after: ['delivery as received', 'superseded revision', 'low-speed retention deficit'],
    factors: ['bench', 'branch', 'complaint', 'season', 'technician'],
  },
  'governor fails first': {
    kind: 'rate',
    margin: 0.1,
    way: 'more',
    after: ['superseded revision'],
    factors: ['bench', 'branch', 'complaint', 'season', 'technician'],
  },
  'comes back early': {
    kind: 'rate',
    margin: 0.05,
    way: 'more',
    after: EARLIER,
    factors: ['bench', 'branch', 'complaint', 'season', 'technician'],
  },
  'bench hours': {
    kind: 'reading',
    margin: 1,
    way: 'more',
    after: [...EARLIER, 'comes back early'],
    factors: ['bench', 'branch', 'season', 'technician'],
  },
};

/** Part of its margin that any shop's people and benches differ by. */
export const USUAL_PART = 0.5;

export const measureOrder = Object.keys(rules) as Measure[];
