import type { Source } from './anovaOneWay';
import { anovaTwoWayRandom, type TwoWay } from './anovaTwoWayRandom';
import { type CrossedReading, crossedTable } from './crossed';
import { combination, type Term, varianceInterval } from './varianceIntervals';
import type { Interval } from './wilson';

/** One share of the scatter. */
export interface Component {
  /** [square of the readings' unit]; not below 0: an estimate below 0 is set to 0. */
  readonly variance: number;
  /** [unit of the readings] */
  readonly sd: number;
  /** sd in percent of the sd of the whole study; NaN where nothing varies. */
  readonly percent: number;
  /** Interval of the sd [unit of the readings]; its middle is the estimate before it was set to 0. */
  readonly interval: Interval;
}

export interface GaugeComponents {
  /** Repeats of one operator on one part (equipment variation, EV). */
  readonly repeatability: Component;
  readonly operator: Component;
  /** 0 in the model without interaction. */
  readonly interaction: Component;
  /** Operator and interaction together (appraiser variation, AV). */
  readonly reproducibility: Component;
  /** Repeatability and reproducibility together (GRR). */
  readonly gauge: Component;
  readonly part: Component;
  readonly total: Component;
  /** How many grades of part the gauge tells apart: 1.41 part / gauge, cut to a whole number. Infinity for a gauge without scatter. */
  readonly categories: number;
}

export interface GaugeStudy {
  readonly kind: 'study';
  readonly parts: number;
  readonly operators: number;
  readonly trials: number;
  readonly table: TwoWay;
  /** Null where nothing was read twice. */
  readonly withInteraction: GaugeComponents | null;
  readonly pooled: GaugeComponents;
  /** The one of the two to go by: pooled where the interaction's p is above 0.25 or not known. */
  readonly chosen: GaugeComponents;
}

/** Not balanced: cells differ in their number of readings. Too few: fewer than two parts, operators, or degrees of freedom for the scatter. */
export type GaugeAnswer = GaugeStudy | { readonly kind: 'not_balanced' } | { readonly kind: 'too_few' };

/** Above this p the interaction is taken into the error (common practice; some take 0.05). */
export const POOL_ABOVE = 0.25;

/** Whole number of categories from two standard deviations [one unit]. The factor is rounded from the root of 2 (common practice). */
export function categories(part: number, gauge: number): number {
  return part === 0 ? 0 : Math.floor((1.41 * part) / gauge);
}

const term = (factor: number, { meanSquare, freedom }: Source): Term => ({ factor, meanSquare, freedom });

type Name = 'repeatability' | 'operator' | 'interaction' | 'reproducibility' | 'gauge' | 'part' | 'total';
type Terms = Record<Name, readonly Term[]>;

function termsWithInteraction({ part, operator, interaction, error }: TwoWay, a: number, b: number, r: number): Terms {
  return {
    repeatability: [term(1, error)],
    operator: [term(1 / (a * r), operator), term(-1 / (a * r), interaction)],
    interaction: [term(1 / r, interaction), term(-1 / r, error)],
    reproducibility: [term(1 / (a * r), operator), term((a - 1) / (a * r), interaction), term(-1 / r, error)],
    gauge: [term(1 / (a * r), operator), term((a - 1) / (a * r), interaction), term(1 - 1 / r, error)],
    part: [term(1 / (b * r), part), term(-1 / (b * r), interaction)],
    total: [
      term(1 / (b * r), part),
      term(1 / (a * r), operator),
      term(1 / r - 1 / (a * r) - 1 / (b * r), interaction),
      term(1 - 1 / r, error),
    ],
  };
}

function termsPooled({ part, operator, pooled }: TwoWay, a: number, b: number, r: number): Terms {
  const reproducibility = [term(1 / (a * r), operator), term(-1 / (a * r), pooled)];
  return {
    repeatability: [term(1, pooled)],
    operator: reproducibility,
    interaction: [],
    reproducibility,
    gauge: [term(1 / (a * r), operator), term(1 - 1 / (a * r), pooled)],
    part: [term(1 / (b * r), part), term(-1 / (b * r), pooled)],
    total: [term(1 / (b * r), part), term(1 / (a * r), operator), term(1 - 1 / (a * r) - 1 / (b * r), pooled)],
  };
}

function components(terms: Terms, confidence: number): GaugeComponents {
  const kept = (name: Name) => Math.max(0, combination(terms[name]));
  const reproducibility = kept('operator') + kept('interaction');
  const gauge = kept('repeatability') + reproducibility;
  const total = gauge + kept('part');
  const component = (name: Name, variance: number): Component => {
    const { low, high } = terms[name].length > 0 ? varianceInterval(terms[name], confidence) : { low: 0, high: 0 };
    return {
      variance,
      sd: Math.sqrt(variance),
      percent: 100 * Math.sqrt(variance / total),
      interval: { low: Math.sqrt(low), high: Math.sqrt(high) },
    };
  };
  return {
    repeatability: component('repeatability', kept('repeatability')),
    operator: component('operator', kept('operator')),
    interaction: component('interaction', kept('interaction')),
    reproducibility: component('reproducibility', reproducibility),
    gauge: component('gauge', gauge),
    part: component('part', kept('part')),
    total: component('total', total),
    categories: categories(Math.sqrt(kept('part')), Math.sqrt(gauge)),
  };
}

/**
 * Gauge repeatability and reproducibility by analysis of variance, parts and operators random; benches against benches are the same sums,
 * with the bench as the operator and the pump's elements (or pumps) as parts. Variances from mean squares (MS), a parts, b operators, r trials:
 * repeatability MS_E; interaction (MS_I - MS_E) / r; operator (MS_O - MS_I) / (a r); part (MS_P - MS_I) / (b r); in the pooled model
 * one error stands for MS_I and MS_E. Source: R. K. Burdick, C. M. Borror and D. C. Montgomery, J. Qual. Technol. 35 (2003) 342-354 (from
 * memory); intervals as in varianceIntervals.ts. With two or three operators the share of the operators is hardly known: see its interval.
 * @param readings [one unit]; what is not finite is left out
 * @param confidence of the intervals, between 0 and 1
 */
export function gaugeAnova(readings: readonly CrossedReading[], confidence = 0.95): GaugeAnswer {
  const table = crossedTable(readings);
  if (table === null)
    return { kind: readings.some(({ value }) => Number.isFinite(value)) ? 'not_balanced' : 'too_few' };
  const anova = anovaTwoWayRandom(table);
  if (anova === null) return { kind: 'too_few' };
  const [a, b, r] = [table.parts.length, table.operators.length, table.trials];
  const withInteraction = r > 1 ? components(termsWithInteraction(anova, a, b, r), confidence) : null;
  const pooled = components(termsPooled(anova, a, b, r), confidence);
  const chosen = withInteraction !== null && anova.interactionTest.p <= POOL_ABOVE ? withInteraction : pooled;
  return { kind: 'study', parts: a, operators: b, trials: r, table: anova, withInteraction, pooled, chosen };
}
