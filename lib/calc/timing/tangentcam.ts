/**
 * The tangent cam with a roller follower: a base circle, straight flanks that touch it, and a round nose that the flanks run
 * into. Angles are degrees of camshaft from the start of lift, lengths mm. Source of all formulas: theory of machines
 * textbooks; see docs/method.md.
 */

const DEG = Math.PI / 180;

/**
 * Follower lift [mm] on the flank: (r_base + r_roller)(sec phi - 1). Holds up to the end of the flank, where the nose begins.
 */
export function tangentLift(baseRadius: number, rollerRadius: number, phi: number): number {
  return (baseRadius + rollerRadius) * (1 / Math.cos(phi * DEG) - 1);
}

/**
 * Its rate [mm/deg] at a lift [mm] from 0 on: (r_base + r_roller) sec phi tan phi, a degree. NaN where the lift is negative or
 * a radius was not stated.
 */
export function tangentRateAtLift(baseRadius: number, rollerRadius: number, lift: number): number {
  if (!(lift >= 0)) return NaN;
  const share = lift / (baseRadius + rollerRadius);
  return (baseRadius + rollerRadius + lift) * flankTangent(share) * DEG;
}

/** Camshaft angle [deg from the start of lift] at which the flank reaches a lift [mm] from 0 on. NaN as for its rate. */
export function tangentAngleAtLift(baseRadius: number, rollerRadius: number, lift: number): number {
  return lift >= 0 ? Math.atan(flankTangent(lift / (baseRadius + rollerRadius))) / DEG : NaN;
}

/** tan phi where sec phi is 1 + share; as a product, since sec phi - 1 loses its digits near the start of lift. */
function flankTangent(share: number): number {
  return Math.sqrt(share * (2 + share));
}

/** A whole tangent cam: what its sheet states and what follows from it. Lengths in mm, angles in deg of camshaft. */
export interface TangentCam {
  /** From the cam's centre to the roller's before the lift starts: base circle and roller radius together. */
  readonly startRadius: number;
  readonly fullLift: number;
  /** From the start of lift to full lift. */
  readonly ascent: number;
  readonly noseRadius: number;
  /** From the cam's centre to the nose's. */
  readonly noseDistance: number;
  /** From the nose's centre to the roller's while the roller is on the nose. */
  readonly noseReach: number;
  /** Where the roller leaves the flank for the nose, and the lift there. */
  readonly flankEnd: number;
  readonly flankLift: number;
}

/**
 * The cam with these radii and full lift [mm] and this ascent [deg of camshaft]. Its nose centre lies L / (1 - cos ascent) from the
 * cam's, L the full lift, which leaves r_base + L less that for the nose; the flank ends at
 * tan phi = distance sin ascent / (r_base + r_roller).
 * Null where a number was not stated or is not above 0, the ascent is not below 180 deg, or no radius is left for the nose.
 */
export function tangentCam(
  baseRadius: number,
  rollerRadius: number,
  fullLift: number,
  ascent: number,
): TangentCam | null {
  const stated = baseRadius > 0 && rollerRadius > 0 && fullLift > 0 && ascent > 0 && ascent < 180;
  // 1 - cos as a square, which keeps its digits at a small ascent.
  const noseDistance = fullLift / (2 * Math.sin((ascent / 2) * DEG) ** 2);
  const noseRadius = baseRadius + fullLift - noseDistance;
  if (!stated || !(noseRadius > 0 && noseRadius < Infinity)) return null;
  const startRadius = baseRadius + rollerRadius;
  const along = noseDistance * Math.sin(ascent * DEG);
  return {
    startRadius,
    fullLift,
    ascent,
    noseRadius,
    noseDistance,
    noseReach: noseRadius + rollerRadius,
    flankEnd: Math.atan2(along, startRadius) / DEG,
    flankLift: Math.hypot(startRadius, along) - startRadius,
  };
}

/** An angle [deg] counted from full lift, forwards or back, from 0 to 180; the fall is the rise over again. */
function fromFullLift(cam: TangentCam, deg: number): number {
  const turned = Math.abs(deg - cam.ascent) % 360;
  return turned > 180 ? 360 - turned : turned;
}

/** From the cam's centre to the roller's [mm], `beta` [rad] from full lift, on the nose. */
function noseRadiusAt(cam: TangentCam, beta: number): number {
  const across = cam.noseDistance * Math.sin(beta);
  return cam.noseDistance * Math.cos(beta) + Math.sqrt(cam.noseReach ** 2 - across ** 2);
}

/** Lift [mm] at any camshaft angle [deg from the start of lift]: base circle, flank, nose, and the same falling. */
export function camLift(cam: TangentCam, deg: number): number {
  const beta = fromFullLift(cam, deg);
  const phi = cam.ascent - beta;
  if (phi <= 0) return 0;
  if (phi <= cam.flankEnd) return cam.startRadius * (1 / Math.cos(phi * DEG) - 1);
  return noseRadiusAt(cam, beta * DEG) - cam.startRadius;
}

/** Its rate [mm/deg of camshaft] at any camshaft angle [deg from the start of lift]; negative on the fall. */
export function camRate(cam: TangentCam, deg: number): number {
  const beta = fromFullLift(cam, deg);
  const phi = cam.ascent - beta;
  if (phi <= 0) return 0;
  const falls = camFalls(cam, deg);
  const rate = phi <= cam.flankEnd ? flankRate(cam, phi * DEG) : noseRate(cam, beta * DEG);
  return falls ? 0 - rate : rate;
}

/** Whether an angle lies past full lift, within half a turn of it. */
function camFalls(cam: TangentCam, deg: number): boolean {
  const past = (deg - cam.ascent) % 360;
  return past > 180 ? false : past > 0 || past < -180;
}

function flankRate(cam: TangentCam, phi: number): number {
  return ((cam.startRadius * Math.tan(phi)) / Math.cos(phi)) * DEG;
}

function noseRate(cam: TangentCam, beta: number): number {
  return noseRateOf(cam, noseRadiusAt(cam, beta), Math.sin(beta), Math.cos(beta));
}

/** Rate on the nose with the roller `radius` from the cam's centre: d sin beta R / (R - d cos beta), a degree. */
function noseRateOf(cam: TangentCam, radius: number, sine: number, cosine: number): number {
  const d = cam.noseDistance;
  return ((d * sine * radius) / (radius - d * cosine)) * DEG;
}

/**
 * Sine of half the angle from full lift at a lift on the nose, by the sides of the triangle of the three centres. Worked from what
 * is left to full lift, so that it keeps its digits at the top.
 */
function halfSineAtLift(cam: TangentCam, lift: number): number {
  const left = cam.fullLift - lift;
  const radius = cam.startRadius + lift;
  return Math.sqrt((left * (2 * cam.noseReach - left)) / (4 * radius * cam.noseDistance));
}

const reaches = (cam: TangentCam, lift: number): boolean => lift >= 0 && lift <= cam.fullLift;

/** Camshaft angle [deg from the start of lift] at which the rising lift reaches `lift` [mm]. NaN below 0 and above full lift. */
export function camAngleAtLift(cam: TangentCam, lift: number): number {
  if (!reaches(cam, lift)) return NaN;
  if (lift <= cam.flankLift) return Math.atan(flankTangent(lift / cam.startRadius)) / DEG;
  return cam.ascent - (2 * Math.asin(Math.min(1, halfSineAtLift(cam, lift)))) / DEG;
}

/**
 * Rate [mm/deg of camshaft] where the rising lift reaches `lift` [mm]: 0 at no lift and at full lift. NaN below 0 and above full
 * lift.
 */
export function camRateAtLift(cam: TangentCam, lift: number): number {
  if (!reaches(cam, lift)) return NaN;
  const radius = cam.startRadius + lift;
  if (lift <= cam.flankLift) return radius * flankTangent(lift / cam.startRadius) * DEG;
  const half = Math.min(1, halfSineAtLift(cam, lift));
  return noseRateOf(cam, radius, 2 * half * Math.sqrt(1 - half * half), 1 - 2 * half * half);
}
