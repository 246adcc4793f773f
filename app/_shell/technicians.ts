'use client';

import { useSyncExternalStore } from 'react';
import { Choice } from './choice';

/** Whether technicians are left out of every page: some countries and shops require it. */
const leftOut = new Choice<boolean>('shimbook.technicians', (stored) => stored === true);

export const leaveTechniciansOut = leftOut.choose;

/** True where no page may show a technician. Before the browser is asked, none is shown. */
export const useTechniciansLeftOut = (): boolean => useSyncExternalStore(leftOut.subscribe, leftOut.read, () => true);
