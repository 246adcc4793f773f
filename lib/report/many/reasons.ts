import { findingFacts, type FindingWord, type Severity } from '../../calc/proof/findings';
import { codes } from '../../calc/layout';

/**
 * Why the record of a job would not hold, or only with remarks. The engine's findings keep their own words and severities; beside them
 * stand reasons that are no finding, since a log that is silent contradicts nothing. Ours.
 */

/** Whether what is missing can still be brought. */
export const supplies = ['yes', 'if it was written down', 'no'] as const;
export type Supply = (typeof supplies)[number];
export const supplyWords: Readonly<Record<Supply, string>> = {
  yes: 'yes',
  'if it was written down': 'only if it was written down at the time',
  no: 'no',
};

interface Fact {
  readonly severity: Severity;
  readonly says: string;
  readonly supply: Supply;
}

/** Reasons that are no finding of the engine. What the log contradicts breaks the proof; what it leaves unsaid weakens it. */
const own = {
  'left out of limits': {
    severity: 'breaks the proof',
    says: 'By its last readings the pump left outside its limits.',
    supply: 'no',
  },
  'not measured as left': {
    severity: 'breaks the proof',
    says: 'A stage that the specification asks for was not measured to its end.',
    supply: 'if it was written down',
  },
  'cannot be decided': {
    severity: 'weakens the proof',
    says: "Readings lie so near to a limit that the gauge's uncertainty leaves it undecided.",
    supply: 'no',
  },
  'gauge not listed': {
    severity: 'weakens the proof',
    says: 'Readings name a gauge of which the log has no calibration at all.',
    supply: 'yes',
  },
  'gauge not named': {
    severity: 'weakens the proof',
    says: 'Readings do not say which gauge they were taken with.',
    supply: 'if it was written down',
  },
  'phasing tolerance assumed': {
    severity: 'weakens the proof',
    says: 'The specification as it stands in the log gives no phasing tolerance, so 0.5 degrees were assumed.',
    supply: 'yes',
  },
  'uncertainty not stated': {
    severity: 'for information',
    says: 'A gauge states no uncertainty, so its readings were compared with the limits as they stand.',
    supply: 'yes',
  },
  'day finished not written': {
    severity: 'for information',
    says: 'The job card does not say when the work was finished.',
    supply: 'if it was written down',
  },
} as const satisfies Record<string, Fact>;
export type OwnReason = keyof typeof own;

/** Whether what a finding speaks of can still be brought: a certificate or a correction can, a reading only where it was written down. */
const supplyOf: Readonly<Record<FindingWord, Supply>> = {
  'shim change stated with the wrong sign': 'yes',
  'shim changed the wrong way': 'no',
  'shim change misreckoned': 'yes',
  'delivery misreckoned': 'yes',
  'stated pass, recomputed out': 'no',
  'stated fail, recomputed in': 'yes',
  'superseded revision': 'no',
  'gauge past its date': 'yes',
  'gauge without calibration': 'yes',
  'draw before the rack was set': 'no',
  'speed outside its window': 'no',
  'fluid outside its window': 'no',
  'feed outside its window': 'no',
  'window not recorded': 'if it was written down',
  'test points out of order': 'no',
  'runs out of order': 'no',
  'shim changed after the last closure': 'if it was written down',
  'barrel turned after the last draw': 'if it was written down',
  'shim changed after the last draw': 'if it was written down',
  'split pair found uneven': 'no',
  'split pair differs': 'no',
  'lift not read': 'if it was written down',
  'element missing': 'if it was written down',
  'test point missing': 'if it was written down',
  'timing and phasing missing': 'if it was written down',
  'governor missing': 'if it was written down',
  'first measurement missing': 'if it was written down',
};

const ownReasons = Object.keys(own) as OwnReason[];
export type ReasonCode = FindingWord | OwnReason;
/** Every reason, in the order in which they are told within a severity. */
export const reasonCodes: readonly ReasonCode[] = [...ownReasons, ...codes.finding];

/** Whether a reason stands beside the findings and is none of them. */
export const isOwn = (code: string): code is OwnReason => Object.hasOwn(own, code);

/** What a reason means, how bad it is, and whether it can still be mended. */
export const reasonFacts = (code: ReasonCode): Fact =>
  isOwn(code) ? own[code] : { ...findingFacts[code], supply: supplyOf[code] };
