import type { JudgedJob } from '../../lib/report/many/fleet';
import { wouldNotHold } from '../../lib/report/many/readiness';
import { attributePlan, chanceOfAcceptance, lotAtLeast, upperShare, type Plan } from '../../lib/stats/attributePlan';
import { standardPlan } from '../../lib/stats/iso2859';
import { count, counted, percent } from '../../lib/words/figures';
import type { AuditChoice } from './useAuditChoice';
import { lotName } from './words';

/** Chance that an upper limit told on the page lies too low. */
const UPPER_RISK = 0.05;

export interface DrawnPlan extends Plan {
  /** Where it comes from and what it risks, in a sentence or two. */
  readonly says: string;
}

const PERCENT = 100;

/** At most so many decimals as tell a small share from none. */
const share = (value: number): string => percent(value, value < 0.1 && value > 0 ? 1 : 0);

function byRisk(lot: number, choice: AuditChoice): DrawnPlan | null {
  const { allowed, expected } = choice;
  const tolerable = choice.tolerable / PERCENT;
  const risk = choice.risk / PERCENT;
  const producer =
    expected === null ? {} : { producer: { expected: expected / PERCENT, risk: choice.producer / PERCENT } };
  const plan = attributePlan({ lot, tolerable, risk, allowed, ...producer });
  if (plan === null) return null;
  const bad = lotAtLeast(lot, tolerable);
  const worst = 'bad' in bad ? bad.bad : 0;
  const consumer = `Were ${share(tolerable)} of them not to hold, which is ${counted(worst, 'job')}, the sample would accept with a chance of ${share(chanceOfAcceptance(plan, lot, tolerable))}; ${share(risk)} may be risked.`;
  if (expected === null) return { ...plan, says: consumer };
  const refused = 1 - chanceOfAcceptance(plan, lot, Math.floor((lot * expected) / PERCENT + 1e-9) / lot);
  return {
    ...plan,
    says: `${consumer} At the ${share(expected / PERCENT)} expected it would refuse with a chance of ${share(refused)}; ${share(choice.producer / PERCENT)} may be risked.`,
  };
}

function byStandard(lot: number, { level, aql }: AuditChoice): DrawnPlan | null {
  const plan = standardPlan(lot, level, aql);
  if (plan === null) return null;
  const { letter, planLetter, n, ac, re, whole } = plan;
  const arrow =
    letter === planLetter ? '' : `, for which the table has no plan at this limit and leads to letter ${planLetter}`;
  const all = whole ? ' The sample would be as large as the lot, so every job is looked at.' : '';
  return {
    n,
    c: ac,
    says: `ISO 2859-1, single sampling, normal inspection, level ${level}, acceptable quality limit ${aql} %: a lot of ${count(lot)} has letter ${letter}${arrow}; Ac ${ac}, Re ${re}.${all}`,
  };
}

/** The plan that is asked for; null where nothing is drawn, or none keeps what is asked. */
export const planFor = (lot: number, choice: AuditChoice): DrawnPlan | null =>
  choice.draw === null || lot === 0 ? null : choice.draw === 'iso' ? byStandard(lot, choice) : byRisk(lot, choice);

/** What the drawn jobs say of all of them. */
export function outcomeOf(drawn: readonly JudgedJob[], { n, c }: DrawnPlan, lot: number) {
  const found = drawn.filter(wouldNotHold).length;
  return { found, accepted: found <= c, limit: upperShare(found, n, lot, UPPER_RISK) };
}

/** The sample in a sentence, with the seed that draws it again: for the page, and for the list of an archive. */
export function sampleSays(
  drawn: readonly JudgedJob[],
  plan: DrawnPlan,
  lot: number,
  { all, seed }: Pick<AuditChoice, 'all' | 'seed'>,
): string {
  const { found, accepted } = outcomeOf(drawn, plan, lot);
  return `A sample of ${count(plan.n)} of the ${lotName(lot, all)}, drawn with seed ${seed}: ${count(found)} would not hold, ${count(plan.c)} allowed, ${accepted ? 'accepted' : 'not accepted'}.`;
}
