/** The temperature that densities of petroleum products are stated at [deg C]. */
export const BASE_C = 15;
/** Temperature that deliveries are stated at where the specification gives none [deg C]. Common practice, no source. */
export const ASSUMED_REFERENCE_C = 40;

/** Densities at 15 deg C that table 54B is made for [kg/m3]. */
export const LEAST_DENSITY = 653;
export const GREATEST_DENSITY = 1075;
/** Lowest temperature of the table [deg C]. */
export const LOWEST_C = -18;

/**
 * Highest temperature of the table [deg C] for a density at 15 deg C [kg/m3]. As in public code; copies differ by 5 degrees, and
 * the lower figure is taken.
 */
function highestTemperature(rho15: number): number {
  if (rho15 < 778.5) return 90;
  return rho15 < 824 ? 120 : 150;
}

/** Thermal expansion at 15 deg C [1/K] from density [kg/m3], by the constants of the group that the density falls in. */
function expansion(rho15: number): number {
  const square = rho15 * rho15;
  if (rho15 <= 770) return (346.4228 + 0.4388 * rho15) / square;
  if (rho15 < 787.5) return -0.00336312 + 2680.3206 / square;
  if (rho15 <= 838.5) return 594.5418 / square;
  return (186.9696 + 0.48618 * rho15) / square;
}

function isInTable(rho15: number, temperature: number): boolean {
  const known = rho15 >= LEAST_DENSITY && rho15 <= GREATEST_DENSITY;
  return known && temperature >= LOWEST_C && temperature <= highestTemperature(rho15);
}

/**
 * Volume correction factor VCF [ratio]: a volume at `temperature` times VCF is its volume at 15 deg C. With dT from 15 deg C,
 * VCF = exp(-a dT (1 + 0.8 a dT)). It is not rounded; the printed table gives four decimals. Between the groups of densities it
 * jumps by less than 1e-4 for dT up to 25 K. Source: ASTM D1250-80 / API MPMS 11.1, table 54B (generalised products).
 * @param rho15 density at 15 deg C [kg/m3], 653 to 1075
 * @param temperature [deg C], from -18 up to 90 below 778.5 kg/m3, up to 120 below 824, up to 150 above
 * @returns NaN outside the table, or where either is not stated
 */
export function volumeCorrection(rho15: number, temperature: number): number {
  if (!isInTable(rho15, temperature)) return NaN;
  const rise = expansion(rho15) * (temperature - BASE_C);
  return Math.exp(-rise * (1 + 0.8 * rise));
}

/**
 * Volume that the fluid takes up at a reference temperature, in the unit of `volume`: V VCF(T) / VCF(T_ref). Good for a volume
 * per stroke as well. The glass's own expansion, a few hundredths of the fluid's at most, is left out.
 * @param rho15 density at 15 deg C [kg/m3]
 * @param temperature when the volume was read [deg C]
 * @param reference [deg C]
 * @returns NaN where either temperature or the density lies outside the table
 */
export function volumeAtReference(volume: number, rho15: number, temperature: number, reference: number): number {
  return (volume * volumeCorrection(rho15, temperature)) / volumeCorrection(rho15, reference);
}
