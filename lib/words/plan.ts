import type { codes } from '../calc/layout';
import { findingFacts, type FindingWord } from '../calc/proof/findings';
import { ALLOWED_PAIR_DIFFERENCE_MM, pairDifference } from '../calc/timing/phasing';
import { isUneven, stackHeight } from '../calc/timing/stacks';
import type { Adjuster, BalanceBy } from '../calc/types';
import type { Unit } from '../units/units';
import { counted, day, type Verbs, type Writer } from './figures';
import { spreadBases } from './terms';

/**
 * Result rows as the sentences that a technician would follow. An empty figure (null) is told as not known, never as 0.
 * Every sentence that tells a hand what to do says which way it goes. `write` writes the figures in the units that the reader chose;
 * what is said about them is worked out in those of the log.
 */

type Verdict = (typeof codes.verdict)[number];
type Figure = number | null;

/** One element in the plan after one run. */
export interface ShimStep {
  readonly element: number;
  /** Positive adds, or raises the screw [mm]; empty where the element was not planned. */
  readonly plan_mm: Figure;
  /** Phase error after the plan [degrees of camshaft]; minus is early. */
  readonly planned_error_deg: Figure;
  readonly tolerance_deg: Figure;
  /** Halves of a split pair as they lay when the run was measured [mm]; empty where they were not written down. */
  readonly before_mm?: Figure;
  readonly before_second_mm?: Figure;
}
export interface ShimPlan {
  readonly status: (typeof codes.plan)[number];
  readonly barrels: number;
  readonly moved_mm: Figure;
  readonly lift_after_mm: Figure;
  readonly step_mm: Figure;
  readonly step_assumed: 'yes' | 'no';
  readonly done_barrels: number;
  readonly done_mm: Figure;
}
/** What closure is set by; the pitch is that of a tappet screw [mm/turn]. */
export interface Setting {
  readonly adjuster: Adjuster;
  readonly screw_mm_per_turn: Figure;
  /** Whether the shims under a barrel come in split pairs, one half a side. */
  readonly split_pairs?: boolean;
}

/** `3`, `3 and 5`, `3, 5 and 6`. */
export const listed = (words: readonly (string | number)[]): string =>
  words.length < 2
    ? words.map(String).join('')
    : `${words.slice(0, -1).map(String).join(', ')} and ${String(words.at(-1))}`;

const plural = (n: number, one: string): string => (n === 1 ? one : `${one}s`);

/** Whether a hundredth of a millimetre would hide part of a length. */
const hides = (mm: number): boolean => Math.abs(mm * 100 - Math.round(mm * 100)) > 0.05;
/** A shim or a change to the hundredth, or to the thousandth where the hundredth would hide part of it. */
const shim = (mm: number, write: Writer): string => write.figure(mm, hides(mm) ? 'shim_fine' : 'shim');
/** The same of a lift or of the rack. */
const length = (mm: number, write: Writer): string => write.figure(mm, hides(mm) ? 'mm_fine' : 'mm');
const lateness = (deg: number, write: Writer): string => {
  const none = Number(Math.abs(deg).toFixed(2)) === 0;
  const size = write.figure(none ? 0 : Math.abs(deg), 'cam_deg');
  return none ? size : `${size} ${deg < 0 ? 'early' : 'late'}`;
};
const capital = (sentence: string): string => sentence.charAt(0).toUpperCase() + sentence.slice(1);

/** What one change of the plan asks of the hand, for the elements that get the same. */
export function shimOrder(
  elements: readonly number[],
  mm: number,
  { adjuster, screw_mm_per_turn, split_pairs = false }: Setting,
  write: Writer,
): string {
  const which = listed(elements);
  const size = shim(Math.abs(mm), write);
  switch (adjuster) {
    case 'barrel_shim': {
      const barrels = `under ${split_pairs ? 'both halves of ' : ''}${plural(elements.length, 'barrel')} ${which}`;
      return mm > 0 ? `add ${size} ${barrels}` : `take ${size} out from ${barrels}`;
    }
    case 'tappet_shim': {
      const tappets = `${plural(elements.length, 'tappet')} ${which}`;
      return mm > 0 ? `add ${size} in ${tappets}` : `take ${size} out of ${tappets}`;
    }
    case 'tappet_screw': {
      const turns =
        screw_mm_per_turn === null || !(screw_mm_per_turn > 0)
          ? ''
          : `, ${(Math.abs(mm) / screw_mm_per_turn).toFixed(2)} turns`;
      return `${mm > 0 ? 'raise' : 'lower'} the tappet ${plural(elements.length, 'screw')} of ${plural(elements.length, 'element')} ${which} by ${size}${turns}`;
    }
  }
}

const verbs: Readonly<Record<Adjuster, Verbs>> = {
  barrel_shim: ['add', 'remove'],
  tappet_shim: ['add', 'remove'],
  tappet_screw: ['raise', 'lower'],
};

/**
 * One change with its sign and the way the hand must go: `+0.15 mm, add`, or of a screw `+0.15 mm, raise`. Without an adjuster,
 * where many pumps with different ones are told together, the change alone.
 */
export const adjustment = (mm: Figure, adjuster: Adjuster | null, write: Writer, decimals = 2): string =>
  write.shimChange(mm, { decimals }, adjuster === null ? null : verbs[adjuster]);

/** The steps that change something, those of one size together, in the order of the elements. */
function groups(steps: readonly ShimStep[]): readonly (readonly [number, readonly number[]])[] {
  const bySize = new Map<string, { mm: number; elements: number[] }>();
  for (const { element, plan_mm } of steps) {
    if (plan_mm === null || Math.abs(plan_mm) < 1e-9) continue;
    const key = plan_mm.toFixed(6);
    const group = bySize.get(key) ?? { mm: plan_mm, elements: [] };
    group.elements.push(element);
    bySize.set(key, group);
  }
  return [...bySize.values()].map(({ mm, elements }) => [mm, elements]);
}

const places: Readonly<Record<Adjuster, string>> = {
  barrel_shim: 'barrel',
  tappet_shim: 'tappet',
  tappet_screw: 'tappet screw',
};

interface UnevenPair extends ShimStep {
  readonly before_mm: number;
  readonly before_second_mm: number;
}
const isUnevenPair = (step: ShimStep): step is UnevenPair =>
  isUneven(pairDifference(step.before_mm ?? NaN, step.before_second_mm ?? NaN));

/** A pair found uneven is made even, at the height that the plan gives the middle of the barrel. */
function evenOrder(
  { element, plan_mm, before_mm: first, before_second_mm: second }: UnevenPair,
  write: Writer,
): string {
  const height = shim(stackHeight(first, second) + (plan_mm ?? 0), write);
  return `set both halves under barrel ${element} to ${height}, as they differ: ${shim(first, write)} and ${shim(second, write)}`;
}

function orders(steps: readonly ShimStep[], setting: Setting, write: Writer): string {
  const uneven = setting.adjuster === 'barrel_shim' ? steps.filter(isUnevenPair) : [];
  const changes = groups(steps.filter((step) => !uneven.some(({ element }) => element === step.element)));
  const moved = changes.reduce((sum, [, elements]) => sum + elements.length, uneven.length);
  if (moved === 0) return `Leave every ${places[setting.adjuster]} as it is.`;
  const told = [
    ...changes.map(([mm, elements]) => shimOrder(elements, mm, setting, write)),
    ...uneven.map((step) => evenOrder(step, write)),
  ].join(', ');
  return `${capital(told)}${moved < steps.length ? '; leave the others' : ''}.`;
}

/** Where the plan ends: the reference lift and the largest error left. */
function afterwards({ lift_after_mm, status }: ShimPlan, steps: readonly ShimStep[], write: Writer): string | null {
  const errors = steps.flatMap(({ planned_error_deg: error }) => (error === null ? [] : [error]));
  const worst = errors.reduce((most, error) => (Math.abs(error) > Math.abs(most) ? error : most), 0);
  const lift =
    lift_after_mm === null
      ? null
      : `the reference ${status === 'in already' ? '' : 'then '}closes at ${length(lift_after_mm, write)}`;
  const error = errors.length === 0 ? null : `the largest error is ${lateness(worst, write)}`;
  const told = [lift, error].filter((part) => part !== null).join(', ');
  return told === '' ? null : `${capital(told)}.`;
}

function remaining(steps: readonly ShimStep[], write: Writer): string {
  const left = steps.filter(
    ({ planned_error_deg: error, tolerance_deg: tolerance }) =>
      error !== null && tolerance !== null && Math.abs(error) > tolerance + 1e-6,
  );
  if (left.length === 0) return 'What remains is the reference lift, outside its band.';
  const each = left.map((step) => `element ${step.element} ${lateness(step.planned_error_deg ?? 0, write)}`);
  return `What remains out of tolerance: ${listed(each)}.`;
}

/** The least-rework plan after one run. `steps`: every element of that run. */
export function shimPlanSentences(
  plan: ShimPlan,
  steps: readonly ShimStep[],
  setting: Setting,
  write: Writer,
): readonly string[] {
  const after = afterwards(plan, steps, write);
  const rest = after === null ? [] : [after];
  const order = orders(steps, setting, write);
  switch (plan.status) {
    case 'in already':
      return [order, 'Timing and phasing are in already.', ...rest];
    case 'possible':
      return [order, ...rest];
    case 'closest':
      return [
        order,
        ...rest,
        'Tolerance can\u2019t be reached this way; this comes closest.',
        remaining(steps, write),
        ...(plan.step_mm === null ? ['By sizes on hand, an element stays where its stack is not known.'] : []),
      ];
    case 'lift not read':
      return ['The reference lift can\u2019t be judged, so the reference stays where it is.', order, ...rest];
    case 'incomplete':
      return ['Not every element was measured; the plan is for those that were.', order, ...rest];
    case 'not measured':
      return ['There is no plan: this run has no closures to plan from.'];
  }
}

/** What was done after the run beside what would have been enough. */
export function doneBesideEnough(plan: ShimPlan, { adjuster }: Setting, write: Writer): string {
  const place = places[adjuster];
  const inAll = (mm: Figure): string => (mm === null ? '' : `, ${shim(mm, write)} in all`);
  const nothing = plan.done_barrels === 0;
  const done = nothing
    ? 'Nothing was changed after this run'
    : `Changed after this run: ${counted(plan.done_barrels, place)}${inAll(plan.done_mm)}`;
  switch (plan.status) {
    case 'not measured':
      return `${done}.`;
    case 'in already':
      return nothing ? `${done}, and nothing had to be.` : `${done}; nothing had to be changed.`;
    case 'closest':
      return `${done}; this plan changes ${counted(plan.barrels, place)}${plan.barrels === 0 ? '' : inAll(plan.moved_mm)}.`;
    case 'possible':
    case 'lift not read':
    case 'incomplete': {
      const spare = plan.done_barrels - plan.barrels;
      const enough = `enough by this plan: ${counted(plan.barrels, place)}${plan.barrels === 0 ? '' : inAll(plan.moved_mm)}`;
      return `${done}; ${enough}.${spare > 0 ? ` That is ${counted(spare, place)} more than needed.` : ''}`;
    }
  }
}

/** The step that a plan goes by. */
export const stepSentence = (plan: ShimPlan, write: Writer): string =>
  plan.step_mm === null ? 'Planned with the sizes on hand.' : `Planned in steps of ${shim(plan.step_mm, write)}.`;

export interface BalancePlan {
  readonly test_point: string | null;
  readonly status: (typeof codes.balance)[number];
  readonly turned: number;
  readonly turned_with_rack: number;
  readonly target_mm3: Figure;
  readonly rack_move_mm: Figure;
  readonly mean_after_mm3: Figure;
  readonly spread_after: Figure;
  readonly spread_basis: keyof typeof spreadBases;
  readonly per_degree_mm3: Figure;
  readonly per_degree_basis: (typeof codes.gain_basis)[number];
  readonly per_rack_mm3: Figure;
  readonly per_rack_basis: (typeof codes.gain_basis)[number];
  readonly gain_ratio: Figure;
  readonly done_turned: number;
  readonly done_deg: Figure;
}
export interface Rotation {
  readonly element: number;
  /** Positive raises delivery [deg]. */
  readonly planned_deg: Figure;
  readonly slot_left_deg: Figure;
  readonly past_slot: 'yes' | 'no';
}

const towards = (value: number): string => (value > 0 ? 'more fuel' : 'less fuel');
const turns = (rotation: Rotation): boolean => rotation.planned_deg !== null && rotation.planned_deg !== 0;

function turnOrder(rotations: readonly Rotation[], by: BalanceBy, write: Writer): string {
  const each = rotations
    .filter(turns)
    .map(
      ({ element, planned_deg: deg }) =>
        `${by} ${element} by ${write.figure(Math.abs(deg ?? 0), 'deg')} towards ${towards(deg ?? 0)}`,
    );
  return `turn ${listed(each)}; leave the others.`;
}

function slots(rotations: readonly Rotation[], write: Writer): readonly string[] {
  const known = rotations.filter((rotation) => turns(rotation) && rotation.slot_left_deg !== null);
  if (known.length === 0) return [];
  const past = known.filter((rotation) => rotation.past_slot === 'yes');
  const each = known.map(({ element, slot_left_deg }) => `barrel ${element} ${write.figure(slot_left_deg, 'deg')}`);
  return [
    `Room in the slot that way before the turn, if each barrel began in the middle: ${listed(each)}.`,
    ...past.map(({ element }) => `Barrel ${element} would run past the end of its slot.`),
  ];
}

function balanceAfter(plan: BalancePlan, write: Writer): string {
  const spread = write.figure(plan.spread_after, spreadBases[plan.spread_basis].unit, { decimals: 2 });
  return `The mean is then ${write.figure(plan.mean_after_mm3, 'mm3_per_stroke')}${plan.spread_after === null ? '' : `, the spread ${spread}`}.`;
}

function rackOrder({ rack_move_mm: move }: BalancePlan, write: Writer): string {
  if (move === null) return 'Move the rack, not the barrels; how far is not known, as its gain is not known.';
  return `Move the rack, not the barrels: ${length(Math.abs(move), write)} towards ${towards(move)}.`;
}

/** The least-rework balance at the base test point after one run. */
export function balanceSentences(
  plan: BalancePlan,
  rotations: readonly Rotation[],
  by: BalanceBy,
  write: Writer,
): readonly string[] {
  const at = plan.test_point ?? 'the base test point';
  switch (plan.status) {
    case 'in already':
      return [`Turn nothing: the balance at ${at} is in.`];
    case 'turn':
      return [capital(turnOrder(rotations, by, write)), balanceAfter(plan, write), ...slots(rotations, write)];
    case 'move the rack': {
      const still = plan.turned_with_rack === 0 ? [] : [`Then ${turnOrder(rotations, by, write)}`];
      const spared = `With the rack where it is, ${counted(plan.turned, by)} would have to be turned.`;
      return [rackOrder(plan, write), ...still, balanceAfter(plan, write), spared, ...slots(rotations, write)];
    }
    case 'gain unknown':
      return [
        `${capital(counted(plan.turned, by))} must be turned to ${write.figure(plan.target_mm3, 'mm3_per_stroke')}; by how many degrees is not known, as neither the draws nor the specification tell the gain.`,
      ];
    case 'not reachable':
      return [`No setting meets the limits at ${at}: they contradict one another.`];
    case 'incomplete':
      return [`There is no balance plan: not every element has a delivery that counts at ${at}.`];
  }
}

const gainFrom: Readonly<Record<(typeof codes.gain_basis)[number], string>> = {
  'own draws': 'from this job\u2019s own draws',
  geometry: 'from plunger and helix',
  unknown: 'not known',
};

/** The gain that a balance plan is reckoned with, and how its two sources agree. */
export function gainSentence(plan: BalancePlan, write: Writer): string | null {
  if (plan.per_degree_mm3 === null) return null;
  const ratio =
    plan.gain_ratio === null
      ? ''
      : ` The draws give ${plan.gain_ratio.toFixed(2)} times the gain that plunger and helix give.`;
  return `Reckoned with ${write.figure(plan.per_degree_mm3, 'mm3_per_stroke', { decimals: 2 })} a degree, ${gainFrom[plan.per_degree_basis]}.${ratio}`;
}

/** Elements turned after the run beside those that the plan turns. */
export function turnedBesideEnough(plan: BalancePlan, by: BalanceBy, write: Writer): string {
  const done =
    plan.done_turned === 0
      ? 'Nothing was turned after this run'
      : `Turned after this run: ${counted(plan.done_turned, by)}, ${write.figure(plan.done_deg, 'deg')} in all`;
  if (plan.status === 'incomplete' || plan.status === 'not reachable') return `${done}.`;
  const needed = plan.status === 'move the rack' ? plan.turned_with_rack : plan.turned;
  return `${done}; enough by this plan: ${counted(needed, by)}.`;
}

const shortVerdict = (verdict: Verdict): string => (verdict === 'cannot tell' ? 'can\u2019t tell' : verdict);

/** What the gauge's uncertainty makes of a plain verdict; empty where there is nothing to add. */
export function decisionWords(verdict: Verdict, decision: Verdict, uncertainty: Figure): string {
  if (verdict === 'not measured') return '';
  if (uncertainty === null) return verdict === decision ? 'no uncertainty stated' : shortVerdict(decision);
  return verdict === decision
    ? 'also with the gauge\u2019s uncertainty'
    : `with the gauge\u2019s uncertainty: ${shortVerdict(decision)}`;
}

export interface Finding {
  readonly finding: FindingWord;
  readonly stated: Figure;
  readonly recomputed: Figure;
}

interface Compared {
  readonly unit: Unit | 'day' | 'clock';
  /** A change, which always carries its sign. */
  readonly signed?: boolean;
  /** What the two figures are. */
  readonly words: readonly [string, string];
}
const card = ['on the card', 'recomputed'] as const;
const windowOf = (unit: Unit): Compared => ({ unit, words: ['read', 'limit'] });
const compared: Partial<Readonly<Record<FindingWord, Compared>>> = {
  'shim change stated with the wrong sign': { unit: 'shim', signed: true, words: card },
  'shim changed the wrong way': { unit: 'shim', signed: true, words: ['made', 'called for'] },
  'shim change misreckoned': { unit: 'shim', signed: true, words: card },
  'delivery misreckoned': { unit: 'mm3_per_stroke', words: card },
  'superseded revision': { unit: 'day', words: ['received', 'newer revision from'] },
  'draw before the rack was set': windowOf('mm'),
  'speed outside its window': windowOf('rpm'),
  'fluid outside its window': windowOf('celsius'),
  'feed outside its window': windowOf('kpa'),
  'window not recorded': { unit: 'count', words: ['readings missing', ''] },
  'test points out of order': { unit: 'clock', words: ['drawn at', 'the earlier one was drawn at'] },
  'runs out of order': { unit: 'clock', words: ['drawn at', 'in the earlier run at'] },
  'split pair found uneven': { unit: 'shim_fine', words: ['difference', 'allowed'] },
  'split pair differs': { unit: 'shim_fine', words: ['difference', 'allowed'] },
  'element missing': { unit: 'count', words: ['measured', 'elements'] },
};

function moment(value: number, unit: 'day' | 'clock'): string {
  if (unit === 'day') return day(new Date(value * 86_400_000).toISOString());
  const stamp = new Date(value * 60_000).toISOString();
  return `${day(stamp)} ${stamp.slice(11, 16)}`;
}

/** Both figures; digits are added where they would look alike although the finding is that they are not. */
function bothFigures(
  { stated, recomputed }: Finding,
  { unit, signed = false }: Compared,
  write: Writer,
): readonly string[] {
  if (unit !== 'day' && unit !== 'clock') return write.apart(stated, recomputed, unit, { sign: signed });
  return [stated, recomputed].map((value) => (value === null ? '' : moment(value, unit)));
}

/** The two figures of a finding with their units, `on the card +0.15 mm, recomputed −0.15 mm`; empty where it has none. */
export function findingFigures(found: Finding, write: Writer): string {
  const facts = compared[found.finding];
  if (facts === undefined) return '';
  const figures = bothFigures(found, facts, write);
  return [found.stated, found.recomputed]
    .flatMap((value, side) => {
      const word = facts.words[side] ?? '';
      return value === null || word === '' ? [] : [`${word} ${figures[side] ?? ''}`];
    })
    .join(', ');
}

const ofWholeJob = /^stated |^superseded|missing$|not read$|out of order$|after the last/;
/** Rows of the log that disagree; empty for what is missing, or is of the job or a run as a whole. */
export const findingRows = (finding: FindingWord, rows: number): string =>
  ofWholeJob.test(finding) ? '' : counted(rows, 'row of the log', 'rows of the log');

/** Where a finding's rows stand in one file: `draws.csv, 12 rows from 340 to 363`. */
export function evidencePlace(place: {
  readonly file: string;
  readonly row_no: number;
  readonly last_row_no: number | null;
  readonly n: number;
}): string {
  const { file, row_no, last_row_no, n } = place;
  return n === 1
    ? `${file}, row ${row_no}`
    : `${file}, ${counted(n, 'row')} from ${row_no} to ${last_row_no ?? row_no}`;
}

/** The length that a finding's sentence names, in the log's unit and as the sentence has it. */
const named: Partial<Readonly<Record<FindingWord, readonly [text: string, mm: number]>>> = {
  'split pair found uneven': [`${ALLOWED_PAIR_DIFFERENCE_MM} mm`, ALLOWED_PAIR_DIFFERENCE_MM],
  'split pair differs': [`${ALLOWED_PAIR_DIFFERENCE_MM} mm`, ALLOWED_PAIR_DIFFERENCE_MM],
};

/** The plain sentence of a finding. */
export function findingSays(finding: FindingWord, write: Writer): string {
  const { says } = findingFacts[finding];
  const length = named[finding];
  return length === undefined ? says : says.replace(length[0], write.figure(length[1], 'shim'));
}

/** What stands against the proof: the findings counted, and whether there is more than findings. */
export function proofSentence(breaking: number, weakening: number, more = false): string {
  const rest = more ? ' Something else stands against it, as listed below.' : '';
  if (breaking === 0 && weakening === 0) return `No finding breaks or weakens the proof.${rest}`;
  const parts = [
    ...(breaking === 0 ? [] : [`${counted(breaking, 'finding')} ${breaking === 1 ? 'breaks' : 'break'} the proof`]),
    ...(weakening === 0
      ? []
      : [
          `${counted(weakening, 'finding')} ${weakening === 1 ? 'weakens' : 'weaken'} ${breaking === 0 ? 'the proof' : 'it'}`,
        ]),
  ];
  return `${capital(listed(parts))}.${rest}`;
}

/** What no finding can tell of the order of work. */
export const untoldOrder =
  'A draw made before the last change of shims does not prove the balance. Shims carry no time, so whether that was so after assembly can\u2019t be told from the log.';

/** An equivalent clearance on the radius, which is an upper bound. */
export const clearanceWords = (um: Figure, write: Writer): string =>
  um === null || um !== 0 ? `${um === null ? '' : 'at most '}${write.figure(um, 'um')}` : 'none shows';
