import type { QuarterStyle } from '../../lib/charts/byQuarter';
import { scaledAxis } from '../../lib/charts/frame';
import type { Writer } from '../../lib/words/figures';

/** The y axis of shim changes: at least one small shim either way. */
export const changeStyle = (write: Writer): QuarterStyle => ({
  ...scaledAxis(write, 'Change made', 'shim'),
  reach: 0.1,
  limits: [],
  write: (mm) => write.figure(mm, 'shim', { sign: true }),
});

/** The y axis of phase errors with the tolerance drawn in. */
export const errorStyle = (tolerance: number, write: Writer): QuarterStyle => ({
  ...scaledAxis(write, 'Phase error', 'cam_deg'),
  reach: tolerance,
  limits: [-tolerance, tolerance],
  write: (deg) => write.figure(deg, 'cam_deg', { sign: true }),
});
