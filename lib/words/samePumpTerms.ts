import type { Label } from './label';

/** Words of the section that sets a job beside the same pump's others. */
export const samePumpTerms = {
  hoursBetween: {
    text: 'hours since',
    origin: 'ours',
    meaning: 'Engine hours since the job before; empty where they are not stated at both, or the meter went back.',
    unit: 'hours',
  },
  movedInJob: {
    text: 'moved',
    origin: 'ours',
    meaning: 'Stacks changed, barrels turned and barrels fitted new in the job, with the largest change.',
    unit: null,
  },
} as const satisfies Record<string, Label>;
