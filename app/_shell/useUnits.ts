'use client';

import { useSyncExternalStore } from 'react';
import { z } from 'zod';
import { angleForms, LOG_DISPLAY, systems, type Display } from '../../lib/units/display';
import { writerFor, type Writer } from '../../lib/words/figures';

/** The units that the reader chose. They are the reader's own: kept in this browser and not in the address. */

const PLACE = 'shimbook.units';
const shape = z.object({ system: z.enum(systems), angles: z.enum(angleForms) });

/** What the browser kept; the log's units where it kept nothing, or nothing that can be read. */
function stored(): Display {
  try {
    const kept = shape.safeParse(JSON.parse(localStorage.getItem(PLACE) ?? 'null'));
    return kept.success ? kept.data : LOG_DISPLAY;
  } catch {
    return LOG_DISPLAY;
  }
}

class ChosenUnits {
  private chosen: Display | null = null;
  private readonly listeners = new Set<() => void>();

  subscribe = (listener: () => void): (() => void) => {
    if (this.listeners.size === 0) window.addEventListener('storage', this.elsewhere);
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
      if (this.listeners.size === 0) window.removeEventListener('storage', this.elsewhere);
    };
  };

  read = (): Writer => {
    this.chosen ??= stored();
    return writerFor(this.chosen);
  };

  choose = (change: Partial<Display>): void => {
    this.chosen = { ...this.read().display, ...change };
    try {
      localStorage.setItem(PLACE, JSON.stringify(this.chosen));
    } catch {
      // A full or barred store: the choice holds as long as the tab is open.
    }
    this.tell();
  };

  /** Another tab of the same browser chose. */
  private elsewhere = (event: StorageEvent): void => {
    if (event.key !== PLACE && event.key !== null) return;
    this.chosen = stored();
    this.tell();
  };

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

const chosen = new ChosenUnits();
const inPlainPage = (): Writer => writerFor(LOG_DISPLAY);

export const chooseUnits = chosen.choose;

/** Writes figures in the units that the reader chose. */
export const useUnits = (): Writer => useSyncExternalStore(chosen.subscribe, chosen.read, inPlainPage);
