import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { phasingColumns } from '../../app/job/phasingColumns';
import type { JobPhasing } from '../../lib/store/questions/jobPhasing';

const row: JobPhasing = {
  ...{ run: 1, element: 2, cam_deg: 270, lift_mm: null, preload_mm: null, closure_deg: 270, nominal_deg: 270 },
  ...{ error_deg: 0, tolerance_deg: 0.5, verdict: 'in', shim_change_mm: 0, shim_step_mm: 0, screw_turns: null },
  ...{ made_mm: null, pair_difference_mm: null, error_uncertainty_deg: null, change_uncertainty_mm: null },
  ...{ decision: 'in', plan_mm: null, planned_error_deg: null, before_mm: null, after_mm: null },
  ...{ before_second_mm: null, after_second_mm: null, batch: null, file: null, row_no: null },
  ...{ shims_file: null, shims_row_no: null },
};
/** The cells of a row that tell of its stack, as text: the change that was made, and the stack before and after. */
const cells = (change: Partial<JobPhasing>): readonly string[] =>
  phasingColumns('barrel_shim')
    .slice(-3, -1)
    .map(({ cell }) =>
      renderToStaticMarkup(<>{cell({ ...row, ...change })}</>)
        .replaceAll(/<[^>]*>/g, '')
        .replaceAll('\u00a0', ' '),
    );

describe('the stacks of the job page', () => {
  it('are told with both halves of a split pair, before and after', () => {
    expect(
      cells({ before_mm: 1, before_second_mm: 1.2, after_mm: 1.05, after_second_mm: 1.25, made_mm: 0.05 }),
    ).toEqual(['+0.05 mm, add', '1.00 + 1.20 → 1.05 + 1.25']);
    expect(cells({ before_mm: 1.2, after_mm: 1.05, made_mm: -0.15 })).toEqual(['−0.15 mm, remove', '1.20 → 1.05']);
  });

  it('say of a pair made even at its height that it was changed, and of one left alone that it was left', () => {
    const pair = { before_mm: 1, before_second_mm: 1.2, made_mm: 0 };
    expect(cells({ ...pair, after_mm: 1.1, after_second_mm: 1.1 })).toEqual([
      'halves changed, height kept',
      '1.00 + 1.20 → 1.10 + 1.10',
    ]);
    expect(cells({ ...pair, after_mm: 1, after_second_mm: 1.2 })[0]).toBe('0.00 mm, leave');
  });
});
