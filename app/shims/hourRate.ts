'use client';

import { useSyncExternalStore } from 'react';
import { z } from 'zod';

/** What an hour costs, as the reader typed it: kept in this browser and nowhere else. */
const shape = z.object({ perHour: z.number().positive().nullable(), currency: z.string().max(3) });
export type HourRate = z.infer<typeof shape>;

const PLACE = 'shimbook.hourRate';
const NONE: HourRate = { perHour: null, currency: '' };

function stored(): HourRate {
  try {
    const kept = shape.safeParse(JSON.parse(localStorage.getItem(PLACE) ?? 'null'));
    return kept.success ? kept.data : NONE;
  } catch {
    return NONE;
  }
}

let typed: HourRate | null = null;
const listeners = new Set<() => void>();

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => {
    listeners.delete(listener);
  };
}

const read = (): HourRate => (typed ??= stored());

/** Changes the rate, or a part of it. */
export function typeRate(change: Partial<HourRate>): void {
  typed = { ...read(), ...change };
  try {
    localStorage.setItem(PLACE, JSON.stringify(typed));
  } catch {
    // A full or barred store: the rate holds as long as the tab is open.
  }
  for (const listener of listeners) listener();
}

export const useHourRate = (): HourRate => useSyncExternalStore(subscribe, read, () => NONE);
