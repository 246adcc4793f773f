import { describe, expect, test } from 'vitest';
import { ASSUMED_STEP_MM, planStep } from '../../lib/calc/timing/shimsteps';
import type { Spec } from '../../lib/calc/types';
import { expectNear, stepped } from './planned';

describe('the step', () => {
  const screw = { adjuster: 'tappet_screw', shim_step_mm: NaN } as const;
  test.each<[string, Partial<Spec>, number, boolean]>([
    ['stated', { shim_step_mm: 0.1 }, 0.1, false],
    ['sizes before a step', { shim_step_mm: 0.1, shim_sizes_mm: [1] }, NaN, false],
    ['neither: 0.05 mm (common practice, no source)', { shim_step_mm: NaN }, 0.05, true],
    ['a screw: 1/12 of a turn (common practice, no source)', { ...screw, screw_mm_per_turn: 0.9 }, 0.075, true],
    ['a screw with a step', { ...screw, screw_mm_per_turn: 1, shim_step_mm: 0.02 }, 0.02, false],
    ['a screw has no sizes', { ...screw, screw_mm_per_turn: 1.2, shim_sizes_mm: [1] }, 0.1, true],
    ['a screw of unknown pitch', screw, ASSUMED_STEP_MM, true],
    ['a step below what can be told', { shim_step_mm: 0.0005 }, ASSUMED_STEP_MM, true],
  ])('%s', (_, differs, step, assumed) => {
    const found = planStep(stepped(differs));
    expectNear([found.step], [step]);
    expect(found.assumed).toBe(assumed);
  });
});
