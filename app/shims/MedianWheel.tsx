'use client';

import type { ReactElement } from 'react';
import { DegreeWheel } from '../../lib/charts/degreeWheel';
import type { Room } from '../../lib/charts/frame';
import type { ErrorOfElement } from '../../lib/store/questions/phaseErrorsByModel';
import { counted } from '../../lib/words/figures';
import { Frame } from '../_shell/Frame';
import { Sheet } from '../_shell/Sheet';
import { useUnits } from '../_shell/useUnits';
import { errorColumns } from './errorColumns';

/** The closures of one model round the camshaft, each at its middle error as received. */
export function MedianWheel({ rows, model }: { rows: readonly ErrorOfElement[]; model: string }): ReactElement | null {
  const write = useUnits();
  if (rows.length === 0) return null;
  const tolerance = Math.max(...rows.map((row) => row.tolerance));
  const out = rows.filter((row) => row.median_verdict === 'out').map((row) => `element ${row.element}`);
  const title =
    out.length === 0
      ? `${model}: the middle closure of every element is in tolerance as received`
      : `${model}: the middle closure of ${out.join(', ')} is out of tolerance as received`;
  const n = counted(
    rows.reduce((sum, row) => sum + row.n, 0),
    'closure',
  );
  return (
    <Frame
      title={title}
      n={n}
      method={`Run 0. Hand: the median of each element over the picked jobs, late is clockwise; the reference at the top. Wedge: the widest tolerance among these jobs, ±${write.figure(tolerance, 'cam_deg')}.`}
      table={
        <Sheet
          caption={title}
          hideCaption
          tall
          columns={errorColumns}
          rows={rows}
          rowKey={(row) => String(row.element)}
        />
      }
      draw={{
        picture: ({ width }: Room) => (
          <DegreeWheel
            rows={rows.map((row) => ({
              element: row.element,
              nominal_deg: row.nominal_deg,
              error_deg: row.median,
              verdict: row.median_verdict,
            }))}
            tolerance={tolerance}
            size={Math.min(width, 400)}
            label={`${title}. ${n}.`}
            write={write}
          />
        ),
      }}
    />
  );
}
