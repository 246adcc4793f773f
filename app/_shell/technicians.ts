'use client';

import { useSyncExternalStore } from 'react';

/** Whether technicians are left out of every page: some countries and shops require it. Kept in this browser, as the units are. */

const PLACE = 'shimbook.technicians';
const LEFT_OUT = 'left out';

function stored(): boolean {
  try {
    return localStorage.getItem(PLACE) === LEFT_OUT;
  } catch {
    return false;
  }
}

class Technicians {
  private leftOut: boolean | null = null;
  private readonly listeners = new Set<() => void>();

  subscribe = (listener: () => void): (() => void) => {
    if (this.listeners.size === 0) window.addEventListener('storage', this.elsewhere);
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
      if (this.listeners.size === 0) window.removeEventListener('storage', this.elsewhere);
    };
  };

  read = (): boolean => {
    this.leftOut ??= stored();
    return this.leftOut;
  };

  leave = (out: boolean): void => {
    this.leftOut = out;
    try {
      if (out) localStorage.setItem(PLACE, LEFT_OUT);
      else localStorage.removeItem(PLACE);
    } catch {
      // A full or barred store: the choice holds as long as the tab is open.
    }
    this.tell();
  };

  /** Another tab of the same browser chose. */
  private elsewhere = (event: StorageEvent): void => {
    if (event.key !== PLACE && event.key !== null) return;
    this.leftOut = stored();
    this.tell();
  };

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

const technicians = new Technicians();

export const leaveTechniciansOut = technicians.leave;

/** True where no page may show a technician. Before the browser is asked, none is shown. */
export const useTechniciansLeftOut = (): boolean =>
  useSyncExternalStore(technicians.subscribe, technicians.read, () => true);
