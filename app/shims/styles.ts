import type { QuarterStyle } from '../../lib/charts/byQuarter';
import { axis, figure, shimChange } from '../../lib/words/figures';

/** The y axis of shim changes: at least one small shim either way. */
export const changeStyle: QuarterStyle = {
  label: axis('Change made', 'mm'),
  reach: 0.1,
  limits: [],
  write: (mm) => shimChange(mm),
};

/** The y axis of phase errors with the tolerance drawn in. */
export const errorStyle = (tolerance: number): QuarterStyle => ({
  label: axis('Phase error', 'cam_deg'),
  reach: tolerance,
  limits: [-tolerance, tolerance],
  write: (deg) => figure(deg, 'cam_deg', { sign: true }),
});
