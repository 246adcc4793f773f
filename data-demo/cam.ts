import type { Cam } from './model';

const DEG = Math.PI / 180;

/** Lift [mm] at an angle [deg of camshaft] from the start of lift. */
export function liftAt(cam: Cam, deg: number): number {
  if (cam.form === 'line') return cam.rate * deg;
  if (cam.form === 'tangent') return (cam.base_mm + cam.roller_mm) * (1 / Math.cos(deg * DEG) - 1);
  return (cam.lift_mm / 2) * (1 - Math.cos((Math.PI * deg) / cam.width_deg));
}

/** Angle [deg of camshaft] from the start of lift at which the plunger has come up by `lift` [mm]. */
export function angleAt(cam: Cam, lift: number): number {
  if (cam.form === 'line') return lift / cam.rate;
  if (cam.form === 'tangent') return Math.acos(1 / (1 + lift / (cam.base_mm + cam.roller_mm))) / DEG;
  return (cam.width_deg / Math.PI) * Math.acos(1 - (2 * lift) / cam.lift_mm);
}

/** Lift rate [mm/deg] where the plunger has come up by `lift` [mm]. */
export function rateAt(cam: Cam, lift: number): number {
  const deg = angleAt(cam, lift);
  if (cam.form === 'line') return cam.rate;
  if (cam.form === 'tangent') {
    return ((cam.base_mm + cam.roller_mm) * Math.sin(deg * DEG) * DEG) / Math.cos(deg * DEG) ** 2;
  }
  return ((cam.lift_mm / 2) * Math.PI * Math.sin((Math.PI * deg) / cam.width_deg)) / cam.width_deg;
}
