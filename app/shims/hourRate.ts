'use client';

import { useSyncExternalStore } from 'react';
import { z } from 'zod';
import { Choice } from '../_shell/choice';

const shape = z.object({ perHour: z.number().positive().nullable(), currency: z.string().max(3) });
export type HourRate = z.infer<typeof shape>;

const NONE: HourRate = { perHour: null, currency: '' };

/** What an hour costs, as the reader typed it. */
const typed = new Choice<HourRate>('shimbook.hourRate', (stored) => shape.safeParse(stored).data ?? NONE);

/** Changes the rate, or a part of it. */
export const typeRate = (change: Partial<HourRate>): void => {
  typed.choose({ ...typed.read(), ...change });
};

export const useHourRate = (): HourRate => useSyncExternalStore(typed.subscribe, typed.read, () => NONE);
