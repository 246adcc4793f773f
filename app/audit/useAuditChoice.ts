'use client';

import {
  parseAsBoolean,
  parseAsFloat,
  parseAsInteger,
  parseAsNumberLiteral,
  parseAsString,
  parseAsStringLiteral,
  useQueryStates,
} from 'nuqs';
import { fleetSplits, type Counted, type FleetSplit } from '../../lib/report/many/fleet';
import { readinessStates, type ReadinessState } from '../../lib/report/many/readiness';
import { reasonCodes, type ReasonCode } from '../../lib/report/many/reasons';
import { inspectionLevels, qualityLimits, type InspectionLevel, type QualityLimit } from '../../lib/stats/iso2859';
import { trendPeriods, type TrendPeriod } from '../../lib/store/questions/trendPeriods';

/** How the jobs to look at are drawn. */
export const draws = ['risk', 'iso'] as const;
export type Draw = (typeof draws)[number];

/** What can be followed: that records hold, or one reason. */
export const followed: readonly Counted[] = ['holds', ...reasonCodes];

const parsers = {
  /** Not warranty jobs alone. */
  all: parseAsBoolean.withDefault(false),
  number: parseAsString,
  list: parseAsString,
  draw: parseAsStringLiteral(draws),
  // Shares and risks stand in the address in per cent, as they are typed.
  tolerable: parseAsFloat.withDefault(10),
  risk: parseAsFloat.withDefault(5),
  allowed: parseAsInteger.withDefault(0),
  expected: parseAsFloat,
  producer: parseAsFloat.withDefault(5),
  level: parseAsStringLiteral(inspectionLevels).withDefault('II'),
  aql: parseAsNumberLiteral(qualityLimits).withDefault(1),
  seed: parseAsInteger.withDefault(1),
  state: parseAsStringLiteral(readinessStates),
  reason: parseAsStringLiteral(reasonCodes),
  split: parseAsStringLiteral(fleetSplits).withDefault('none'),
  period: parseAsStringLiteral(trendPeriods).withDefault('quarter'),
  follow: parseAsStringLiteral(followed).withDefault('holds'),
};

export interface AuditChoice {
  readonly all: boolean;
  /** A job, serial or claim number that was looked up. */
  readonly number: string | null;
  /** Job, serial and claim numbers as they were pasted. */
  readonly list: string | null;
  readonly draw: Draw | null;
  /** In per cent. */
  readonly tolerable: number;
  readonly risk: number;
  readonly allowed: number;
  readonly expected: number | null;
  readonly producer: number;
  readonly level: InspectionLevel;
  readonly aql: QualityLimit;
  readonly seed: number;
  /** Which of the jobs the table shows. */
  readonly state: ReadinessState | null;
  readonly reason: ReasonCode | null;
  readonly split: FleetSplit;
  readonly period: TrendPeriod;
  readonly follow: Counted;
}

/** Whatever is left out stays; null takes a choice back. */
export type AuditChange = { readonly [K in keyof AuditChoice]?: AuditChoice[K] | null };

/** What is looked at, as the address holds it: a copied address draws the same sample. */
export function useAuditChoice(): readonly [AuditChoice, (change: AuditChange) => void] {
  const [choice, set] = useQueryStates(parsers);
  return [choice, (change) => void set(change)];
}

/** More than these no address holds. */
export const MOST_PASTED = 2000;

/** The job, serial and claim numbers of a pasted list: a line each, or parted by commas, semicolons or tabs. */
export const pasted = (text: string): readonly string[] => [
  ...new Set(
    text
      .split(/[\n\r\t,;]+/)
      .map((name) => name.trim().replace(/^"(.*)"$/, '$1'))
      .filter((name) => name !== ''),
  ),
];
