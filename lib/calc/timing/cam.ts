import { code } from '../layout';
import {
  camAngleAtLift,
  camLift,
  camRateAtLift,
  tangentAngleAtLift,
  tangentCam,
  tangentLift,
  tangentRateAtLift,
} from './tangentcam';
import type { LiftTable, Spec } from '../types';

/** Lift rate where the specification tells nothing [mm/deg]: 0.1 mm in half a degree. Common practice, no source. */
export const ASSUMED_LIFT_RATE = 0.2;

const FROM_TABLE = code('lift_rate_basis', 'cam lift table');
const FROM_GEOMETRY = code('lift_rate_basis', 'cam geometry');
const STATED = code('lift_rate_basis', 'stated lift rate');
const ASSUMED = code('lift_rate_basis', 'assumed');

const cell = (column: Float64Array, k: number): number => column[k] ?? NaN;
const step = (t: LiftTable, k: number): number => cell(t.deg, k + 1) - cell(t.deg, k);
const chord = (t: LiftTable, k: number): number => (cell(t.mm, k + 1) - cell(t.mm, k)) / step(t, k);

/** One-sided slope at an end, cut back so that the curve keeps the shape of the data (Fritsch & Butland 1984). */
function endSlope(h0: number, h1: number, d0: number, d1: number): number {
  const slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  if (slope * d0 <= 0) return 0;
  return d0 * d1 <= 0 && Math.abs(slope) > 3 * Math.abs(d0) ? 3 * d0 : slope;
}

/**
 * Slope [mm/deg] of the monotone piecewise cubic at knot `k` of the table: the weighted harmonic mean of the neighbouring
 * chords, 0 at a turning point (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304).
 */
function knotSlope(t: LiftTable, k: number): number {
  const last = t.deg.length - 1;
  if (last === 1) return chord(t, 0);
  if (k === 0) return endSlope(step(t, 0), step(t, 1), chord(t, 0), chord(t, 1));
  if (k === last) return endSlope(step(t, last - 1), step(t, last - 2), chord(t, last - 1), chord(t, last - 2));
  const before = chord(t, k - 1);
  const after = chord(t, k);
  if (before * after <= 0) return 0;
  const w1 = 2 * step(t, k) + step(t, k - 1);
  const w2 = step(t, k) + 2 * step(t, k - 1);
  return (w1 + w2) / (w1 / before + w2 / after);
}

/** One piece of the curve between two knots: width [deg], lifts [mm] and slopes [mm/deg] at its ends. */
interface Piece {
  readonly from: number;
  readonly width: number;
  readonly lift0: number;
  readonly lift1: number;
  readonly slope0: number;
  readonly slope1: number;
}

function piece(t: LiftTable, k: number): Piece {
  return {
    from: cell(t.deg, k),
    width: step(t, k),
    lift0: cell(t.mm, k),
    lift1: cell(t.mm, k + 1),
    slope0: knotSlope(t, k),
    slope1: knotSlope(t, k + 1),
  };
}

/** Lift [mm] at the fraction `s` (0 to 1) of a piece's width: cubic Hermite form. */
function pieceLift(p: Piece, s: number): number {
  const r = 1 - s;
  const ends = p.lift0 * (1 + 2 * s) * r * r + p.lift1 * s * s * (3 - 2 * s);
  return ends + p.width * s * r * (p.slope0 * r - p.slope1 * s);
}

/** Its derivative there [mm/deg]. */
function pieceRate(p: Piece, s: number): number {
  const chordPart = (6 * (p.lift1 - p.lift0) * s * (1 - s)) / p.width;
  return chordPart + p.slope0 * (1 - s) * (1 - 3 * s) + p.slope1 * s * (3 * s - 2);
}

/** The piece in which `deg` lies, or -1 outside the table. */
function pieceAt(t: LiftTable, deg: number): number {
  const last = t.deg.length - 1;
  if (!(deg >= cell(t.deg, 0) && deg <= cell(t.deg, last))) return -1;
  let low = 0;
  let high = last - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (cell(t.deg, middle) <= deg) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** A place on the curve: the piece and the fraction of its width. Null outside the table. */
interface Place {
  readonly piece: Piece;
  readonly s: number;
}

function placeAtAngle(table: LiftTable, deg: number): Place | null {
  const k = pieceAt(table, deg);
  if (k < 0) return null;
  const found = piece(table, k);
  return { piece: found, s: (deg - found.from) / found.width };
}

/** Where the rising lift first reaches `lift` from knot `from` on. Bisection to the last bit: every piece is monotone, so it cannot fail to close in. */
function placeAtLift(table: LiftTable, lift: number, from = 0): Place | null {
  for (let k = from; k + 1 < table.deg.length; k++) {
    const rises =
      cell(table.mm, k) <= lift && lift <= cell(table.mm, k + 1) && cell(table.mm, k) < cell(table.mm, k + 1);
    if (!rises) continue;
    const found = piece(table, k);
    // At a knot the slope is the knot's own, which may be 0; a hair beside it, bisection would find a hair above 0.
    if (lift === found.lift0) return { piece: found, s: 0 };
    if (lift === found.lift1) return { piece: found, s: 1 };
    let low = 0;
    let high = 1;
    for (let middle = 0.5; middle > low && middle < high; middle = (low + high) / 2) {
      if (pieceLift(found, middle) < lift) low = middle;
      else high = middle;
    }
    return { piece: found, s: high };
  }
  return null;
}

const angleOf = (place: Place | null): number =>
  place === null ? NaN : place.piece.from + place.s * place.piece.width;
const rateAt = (place: Place | null): number => (place === null ? NaN : pieceRate(place.piece, place.s));

/**
 * Lift [mm] at a cam angle [deg of camshaft], by the monotone piecewise cubic through the table (F. N. Fritsch and R. E.
 * Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246): between two knots it never leaves their lifts. NaN outside the table.
 */
export function liftAt(table: LiftTable, deg: number): number {
  const place = placeAtAngle(table, deg);
  return place === null ? NaN : pieceLift(place.piece, place.s);
}

/** Slope of the same curve [mm/deg of camshaft] at a cam angle [deg]. NaN outside the table. */
export function liftRateAtAngle(table: LiftTable, deg: number): number {
  return rateAt(placeAtAngle(table, deg));
}

/**
 * Cam angle [deg of camshaft] at which the rising lift first reaches `lift` [mm]. NaN where the table does not rise through
 * it.
 */
export function angleAtLift(table: LiftTable, lift: number): number {
  return angleOf(placeAtLift(table, lift));
}

/** Slope of the curve [mm/deg of camshaft] where the rising lift first reaches `lift` [mm]. NaN where it does not. */
export function liftRateAtLift(table: LiftTable, lift: number): number {
  return rateAt(placeAtLift(table, lift));
}

/** One rise of a cam, on which lift [mm] and camshaft angle [deg] tell each other. */
export interface CamRise {
  /** Lifts at its ends [mm], and the angles there [deg]. */
  readonly lowest: number;
  readonly highest: number;
  readonly start: number;
  readonly end: number;
  /** Angle at a lift from lowest to highest; NaN outside. */
  angleAt(lift: number): number;
  /** Lift at an angle from start to end; NaN outside. */
  liftAt(deg: number): number;
}

/** The rise of a table on which `lift` [mm] is first reached, by the same curve. Null where the table does not rise through it. */
function tabledRise(table: LiftTable, lift: number): CamRise | null {
  const rises = (k: number): boolean => cell(table.mm, k) < cell(table.mm, k + 1);
  let first = 0;
  while (first + 1 < table.deg.length && !(rises(first) && lift <= cell(table.mm, first + 1))) first++;
  if (!(cell(table.mm, first) <= lift && rises(first))) return null;
  let last = first + 1;
  while (last + 1 < table.deg.length && rises(last)) last++;
  while (first > 0 && rises(first - 1)) first--;
  const [start, end] = [cell(table.deg, first), cell(table.deg, last)];
  return {
    lowest: cell(table.mm, first),
    highest: cell(table.mm, last),
    start,
    end,
    angleAt: (at) => (at <= cell(table.mm, last) ? angleOf(placeAtLift(table, at, first)) : NaN),
    liftAt: (deg) => (deg >= start && deg <= end ? liftAt(table, deg) : NaN),
  };
}

/** The rise of a cam by its geometry: whole where full lift and ascent are stated, else its flank, which then has no end. */
function geometricRise(spec: Spec): CamRise | null {
  const { base_radius_mm: base, roller_radius_mm: roller, full_lift_mm: full, ascent_deg: ascent } = spec;
  if (!Number.isNaN(full) && !Number.isNaN(ascent)) {
    const cam = tangentCam(base, roller, full, ascent);
    if (cam === null) return null;
    return {
      lowest: 0,
      highest: full,
      start: 0,
      end: ascent,
      angleAt: (lift) => camAngleAtLift(cam, lift),
      liftAt: (deg) => (deg >= 0 && deg <= ascent ? camLift(cam, deg) : NaN),
    };
  }
  if (!(base > 0 && roller > 0)) return null;
  return {
    lowest: 0,
    highest: Infinity,
    start: 0,
    end: 90,
    angleAt: (lift) => tangentAngleAtLift(base, roller, lift),
    liftAt: (deg) => (deg >= 0 && deg < 90 ? tangentLift(base, roller, deg) : NaN),
  };
}

/** The cam's rises as far as a specification tells them, the better source first: lift table, then geometry. */
export function camRises(spec: Spec): readonly CamRise[] {
  const tabled = spec.cam_lift === null ? null : tabledRise(spec.cam_lift, spec.lift_mm);
  return [tabled, geometricRise(spec)].filter((rise) => rise !== null);
}

/** Lift rate v [mm/deg of camshaft], always above 0, and where it comes from (a `lift_rate_basis` code). */
export interface LiftRate {
  readonly rate: number;
  readonly basis: number;
}

/**
 * Rate of a tangent cam at a lift [mm/deg]. Where the sheet states full lift and ascent, of the whole cam, flank or nose; where it
 * states less, by the flank's formula whatever the lift. NaN where the four figures make no cam: then one of them is wrong, and
 * nothing says which.
 */
function geometricRate(spec: Spec, lift: number): number {
  const { base_radius_mm: base, roller_radius_mm: roller, full_lift_mm: full, ascent_deg: ascent } = spec;
  if (Number.isNaN(full) || Number.isNaN(ascent)) return tangentRateAtLift(base, roller, lift);
  const cam = tangentCam(base, roller, full, ascent);
  return cam === null ? NaN : camRateAtLift(cam, lift);
}

/**
 * Lift rate at port closure: from the cam's lift table at the lift `lift` [mm], else from its geometry, else as stated, else
 * assumed. A source that the lift lies outside of, or whose rate is not above 0, passes to the next. Where the lift was not
 * read (NaN) the nominal one stands in.
 */
export function liftRate(spec: Spec, lift: number): LiftRate {
  const at = Number.isNaN(lift) ? spec.lift_mm : lift;
  const tabled = spec.cam_lift === null ? NaN : liftRateAtLift(spec.cam_lift, at);
  if (tabled > 0) return { rate: tabled, basis: FROM_TABLE };
  const geometric = geometricRate(spec, at);
  if (geometric > 0) return { rate: geometric, basis: FROM_GEOMETRY };
  if (spec.lift_rate_mm_per_deg > 0) return { rate: spec.lift_rate_mm_per_deg, basis: STATED };
  return { rate: ASSUMED_LIFT_RATE, basis: ASSUMED };
}
