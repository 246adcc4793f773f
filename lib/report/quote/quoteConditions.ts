import type { Added, Estimate, ExtraChance, ExtraKind } from '../../quote/types';
import type { AmountWriter } from '../../words/amounts';
import { count } from '../../words/figures';
import { priceOfCost } from './quoteDraft';
import { fromMinor } from './quoteSheet';

/** Conditions to begin with: what such jobs turned out to need, and what it came to. */

export interface Suggestion {
  /** How it begins: a condition that begins so is of the same extra work. */
  readonly opening: string;
  readonly text: string;
}

// No limit of wear is stated anywhere, neither by a specification nor by the log: the event itself is the condition.
const openings: Readonly<Record<ExtraKind, string>> = {
  newBarrels: 'If new plungers and barrels are needed',
  camshaft: 'If the camshaft or its bearings have to be replaced',
  rerun: 'If a second run on the bench is needed',
};
const ASKED_FIRST = 'You are asked first.';

function sumWords(
  { cost, n, against }: Added,
  marginPercent: number,
  currency: string,
  write: AmountWriter,
): string | null {
  if (cost === null) return null;
  // The customer's sheet shows prices: the margin is on this sum as on the lines.
  const price = (end: number) => write.about(fromMinor(priceOfCost(end, marginPercent, currency), currency), currency);
  const basis = `the median of ${count(n)} past jobs with it against ${count(against)} without, 95 % interval ${price(cost.low)} to ${price(cost.high)}`;
  return `about ${price(cost.figure)} more before tax (${basis}).`;
}

/** Where most such jobs had it the middle that is quoted holds it already. */
const isExtra = ({ k, n }: ExtraChance): boolean => k > 0 && 2 * k < n;

/** One for each extra work that some such jobs needed and most did not; without a sum where the past does not tell one. */
export function conditionsOf(
  { extra, choices }: Estimate,
  marginPercent: number,
  write: AmountWriter,
): readonly Suggestion[] {
  return extra.filter(isExtra).map(({ kind, added }) => {
    const opening = openings[kind];
    const sum = sumWords(added, marginPercent, choices.currency ?? '', write);
    const more = sum ?? 'the cost comes on top (not enough data to say how much).';
    return { opening, text: `${opening}, ${more} ${ASKED_FIRST}` };
  });
}

/** Whether a condition of the same extra work is on the sheet, be it with another sum or in the person's own words from there on. */
export const hasOther = (conditions: readonly string[], { opening }: Suggestion): boolean =>
  conditions.some((each) => each.startsWith(opening));

/** The conditions with a suggestion among them: in the place of another of the same extra work, so that no two sums stand side by side. */
export function withSuggestion(conditions: readonly string[], suggestion: Suggestion): readonly string[] {
  const written = conditions.filter((each) => each !== '');
  const place = written.findIndex((each) => each.startsWith(suggestion.opening));
  return place < 0
    ? [...written, suggestion.text]
    : written
        .map((each, at) => (at === place ? suggestion.text : each))
        .filter((each, at) => at === place || !each.startsWith(suggestion.opening));
}
