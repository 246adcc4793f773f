'use client';

import { useSyncExternalStore } from 'react';
import { z } from 'zod';
import { angleForms, LOG_DISPLAY, systems, type Display } from '../../lib/units/display';
import { writerFor, type Writer } from '../../lib/words/figures';
import { Choice } from './choice';

const shape = z.object({ system: z.enum(systems), angles: z.enum(angleForms) });

/** The units that the reader chose; the log's where nothing was chosen. */
const chosen = new Choice<Display>('shimbook.units', (stored) => shape.safeParse(stored).data ?? LOG_DISPLAY);
const inPlainPage = (): Writer => writerFor(LOG_DISPLAY);

export const chooseUnits = (change: Partial<Display>): void => {
  chosen.choose({ ...chosen.read(), ...change });
};

/** Writes figures in the units that the reader chose. */
export const useUnits = (): Writer =>
  useSyncExternalStore(chosen.subscribe, () => writerFor(chosen.read()), inPlainPage);
