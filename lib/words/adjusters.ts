import type { Adjuster } from '../calc/types';
import { counted } from './figures';

/** What closure is set by, in the words of the bench; `mixed` where pumps of more than one kind are told together. */
export interface AdjusterWords {
  /** One of the places at which it is set. */
  readonly place: string;
  /** What was done to n of them: `3 barrels came off`. */
  readonly changed: string;
  /** What a change is made to, of each element. */
  readonly thing: string;
  /** Says that those to which nothing was done are not counted. */
  readonly alone: string;
  /** Which way plus and minus go. */
  readonly signs: string;
}

const shims = {
  thing: 'stack',
  alone: 'stacks left alone are not counted',
  signs: 'Plus is added, minus is removed.',
} as const;

const words: Readonly<Record<Adjuster | 'mixed', AdjusterWords>> = {
  barrel_shim: { ...shims, place: 'barrel', changed: 'came off' },
  tappet_shim: { ...shims, place: 'tappet', changed: 'came out' },
  tappet_screw: {
    place: 'tappet screw',
    changed: 'turned',
    thing: 'tappet screw',
    alone: 'screws left alone are not counted',
    signs: 'Plus is raised, minus is lowered.',
  },
  mixed: {
    place: 'barrel or tappet',
    changed: 'changed',
    thing: 'stack or tappet screw',
    alone: 'what was left alone is not counted',
    signs: 'Plus is added, or a screw raised; minus is removed, or a screw lowered.',
  },
};

/** Of a split pair whose halves were changed so that the barrel stands as high as before. */
export const HEIGHT_KEPT = 'halves changed, height kept';

/** Words that fit all of these; none known count as mixed. */
export function adjusterWords(all: Iterable<Adjuster | null>): AdjusterWords {
  const kinds = new Set(all);
  const [only] = kinds;
  return words[kinds.size === 1 && only != null ? only : 'mixed'];
}

/** `3 barrels came off`, `1 tappet screw was turned`, `3 barrels or tappets were changed`. */
export function changedWords(n: number, of: AdjusterWords): string {
  const many = of.place
    .split(' or ')
    .map((one) => `${one}s`)
    .join(' or ');
  const did = of.changed.startsWith('came') ? of.changed : `${n === 1 ? 'was' : 'were'} ${of.changed}`;
  return `${counted(n, of.place, many)} ${did}`;
}
