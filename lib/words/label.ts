import type { Unit } from '../units/units';

/** Where a word comes from: the trade's own, a published standard's, or ours because neither has one. */
export type Origin = 'trade' | 'standard' | 'ours';

export interface Label {
  /** As a person reads it, without its unit. */
  readonly text: string;
  readonly meaning: string;
  readonly origin: Origin;
  readonly unit: Unit | null;
}

/** A word of the screens. */
export const term = (text: string, origin: Origin, meaning: string, unit: Label['unit'] = null): Label => ({
  text,
  meaning,
  origin,
  unit,
});
