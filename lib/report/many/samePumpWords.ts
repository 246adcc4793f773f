import { counted, percent, type Writer } from '../../words/figures';
import { findingSays } from '../../words/plan';
import {
  LEAST_LEAK_SHARE,
  LEAST_RETENTION,
  MOVED_BACK_MM,
  type OtherLine,
  type RepairLine,
  type Worse,
} from './samePump';

/** The lines of lib/report/samePump in words: what is seen, with its figures, and what it rests on. */
export interface Said {
  readonly says: string;
  readonly basis: string;
}

const hoursSaid = (hours: number | null, write: Writer): string =>
  hours === null ? 'engine hours not stated at both' : write.figure(hours, 'hours', { decimals: 0 });

const soonBasis = (months: number): string =>
  `Within ${counted(months, 'calendar month')} of leaving, and no more than 1000 engine hours where both cards state them (common practice, no source).`;

const sinceSaid = ({ since, n }: Worse): string =>
  `${since === 'left' ? 'As left at the last repair' : 'As received at the last repair, which has no reading as left'} against as received now, ${counted(n, 'element')}`;

export function faultSays(line: RepairLine, write: Writer): Said {
  switch (line.kind) {
    case 'same complaint':
      return {
        says: `The same complaint as at the last repair: “${line.now}”, after ${counted(line.days, 'day')}, ${hoursSaid(line.hours, write)}.`,
        basis: `Case, punctuation and the order of words do not matter; the last card reads “${line.then}”. ${soonBasis(line.months)}`,
      };
    case 'back soon':
      return {
        says: `Back after ${counted(line.days, 'day')}, ${hoursSaid(line.hours, write)}.`,
        basis: soonBasis(line.months),
      };
    case 'warranty':
      return { says: 'This job is marked as warranty.', basis: 'The shop’s own word on this job card.' };
    case 'left out of tolerance':
      return {
        says: 'The last repair left the pump out of its specification.',
        basis: 'At least one stage that was asked for was out at its last run.',
      };
    case 'left out':
      return {
        says: `Left out at the last repair${line.element === null ? '' : `, element ${line.element}`}: ${findingSays(line.finding, write)}`,
        basis: 'Finding of the last repair.',
      };
    case 'open finding':
      return {
        says: `Open at the last repair: ${findingSays(line.finding, write)}`,
        basis: `Finding of the last repair, which ${line.severity}.`,
      };
    case 'moved back':
      return {
        says: `Stacks changed at the last repair were changed back in this job: ${line.elements
          .map(({ element, then, now }) => `element ${element} ${change(then, write)}, now ${change(now, write)}`)
          .join('; ')}.`,
        basis: `The two changes add up to ${write.figure(MOVED_BACK_MM, 'shim')} at most.`,
      };
    case 'worn, not noted':
      return { says: `${wornSaid(line)} The card says nothing of it.`, basis: WORN_BASIS };
  }
}

const change = (mm: number, write: Writer): string => write.shimChange(mm, {}, null);
const WORN_BASIS =
  'Mean of the elements as left at the last repair, lower than the sheet states by more than they scatter and by more than 2 points. A card that names wear, barrels or plungers is taken to have noted it.';
const wornSaid = ({
  retention,
  stated,
  n,
}: {
  readonly retention: number;
  readonly stated: number;
  readonly n: number;
}) =>
  `The last repair left a low-speed retention of ${percent(retention, 1)} (${counted(n, 'element')}); the sheet states ${percent(stated, 1)} for a sound one.`;

export function otherSays(line: OtherLine, write: Writer): Said {
  switch (line.kind) {
    case 'hours run':
      return {
        says: `${write.figure(line.hours, 'hours', { decimals: 0 })} run since the last repair.`,
        basis: `Difference of the engine hours on the two cards; more than ${write.figure(line.few, 'hours', { decimals: 0 })} (common practice, no source).`,
      };
    case 'other complaint':
      return {
        says: `Another complaint: “${line.now}”, at the last repair “${line.then}”.`,
        basis: 'Case, punctuation and the order of words do not matter.',
      };
    case 'retention lower':
      return {
        says: `Low-speed retention fell from ${percent(line.from, 1)} to ${percent(line.to, 1)}.`,
        basis: `${sinceSaid(line)}; the elements’ changes scatter by ${percent(line.scatter, 1)}, and less than ${percent(LEAST_RETENTION)} is not told.`,
      };
    case 'leak slope greater':
      return {
        says: `The leak slope rose from ${slope(line.from, write)} to ${slope(line.to, write)}.`,
        basis: `${sinceSaid(line)}; the elements’ changes scatter by ${slope(line.scatter, write)}, and less than ${percent(LEAST_LEAK_SHARE)} of what it was is not told.`,
      };
    case 'scatter greater':
      return {
        says: `The scatter over the elements at ${line.point} rose from ${percent(line.from / 100, 1)} to ${percent(line.to / 100, 1)}.`,
        basis: `${sinceSaid(line)}; chance alone moves such a scatter by ${percent(line.scatter / 100, 1)}.`,
      };
    case 'slot used up':
      return {
        says: `Barrels were already at the end of their slot at the last repair: ${line.elements
          .map(
            ({ element, used, slot }) =>
              `element ${element} ${write.figure(used, 'deg', { sign: true })} of ±${write.figure(slot / 2, 'deg')}`,
          )
          .join('; ')}.`,
        basis:
          'Rotations added since the last new plunger and barrel in the log, the barrel taken to have begun at mid-slot.',
      };
    case 'renewed now':
      return {
        says: `New plungers and barrels were fitted in this job: element ${line.elements.join(', ')}.`,
        basis: 'Parts of this job.',
      };
    case 'proof stands':
      return {
        says: 'The last repair left every stage in, and nothing stands against its proof.',
        basis: 'Verdict as left, and no finding that breaks or weakens the proof.',
      };
    case 'worn, noted':
      return { says: `${wornSaid(line)} The card noted: “${line.note}”.`, basis: WORN_BASIS };
  }
}

const slope = (value: number, write: Writer): string => write.figure(value, 'leak_slope');
