'use client';

import { useSyncExternalStore } from 'react';
import { z } from 'zod';
import { MOST } from '../../lib/report/quote/quoteSheet';
import { MOST_LETTERS } from '../../lib/report/quote/quoteDocument';
import { Choice } from '../_shell/choice';

const shape = z.object({
  marginPercent: z.number().min(0).max(MOST.marginPercent),
  taxPercent: z.number().min(0).max(MOST.taxPercent),
  validDays: z.int().min(1).max(365),
  from: z.string().max(MOST_LETTERS.address),
  /** By how much parts rise a year [%]. */
  partsRise: z.number().min(-50).max(100),
});
export type KeptTerms = z.infer<typeof shape>;

const USUAL: KeptTerms = { marginPercent: 0, taxPercent: 0, validDays: 30, from: '', partsRise: 0 };

/** The terms that this shop's quotes share; they stay in the reader's browser. */
const kept = new Choice<KeptTerms>('shimbook.quoteTerms', (stored) => shape.safeParse(stored).data ?? USUAL);

/** Changes some of them; what is no term is left as it was. */
export const changeTerms = (change: Partial<KeptTerms>): void => {
  const next = shape.safeParse({ ...kept.read(), ...change });
  if (next.success) kept.choose(next.data);
};

export const useShopTerms = (): KeptTerms => useSyncExternalStore(kept.subscribe, kept.read, () => USUAL);
