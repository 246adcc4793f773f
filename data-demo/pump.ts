import { angleAt, rateAt } from './cam';
import type { Model } from './model';
import type { Dice } from './random';
import { nearest } from './rows';

/** One element of one pump, as it truly is; the log only sees it through gauges. */
export interface Element {
  /** How far its cam lobe stands from its nominal place [deg of camshaft]; positive closes late. */
  readonly lobe_deg: number;
  /** What tappet, roller and barrel add to the lift to port closure [mm]; positive closes late. */
  offset_mm: number;
  /** Stack as it truly measures, and as the cards have it [mm]. */
  stack_mm: number;
  booked_mm: number;
  /** The other half of a split pair, as booked; the same as `booked_mm` where the pair matches or there is none. */
  second_mm: number;
  /** Wear of tappet, roller and cam [mm per 1000 h]. */
  readonly drift_mm: number;
  gain: number;
  /** What the metering edge adds [mm3/stroke]. */
  metering_mm3: number;
  /** Barrel (or sleeve) against its first place [deg]; positive raises delivery. */
  turned_deg: number;
  leak_factor: number;
  barrel_hours: number;
}

export interface Pump {
  readonly serial: string;
  readonly model: Model;
  readonly branch: string;
  readonly elements: readonly Element[];
  readonly hours_a_day: number;
  /** Dirty fuel wears barrels faster. */
  readonly wear_factor: number;
  engine_hours: number;
  last_day: number;
  visits: number;
  left_out: boolean;
  /** Governor: error of the full-load stop [mm], of breakaway and cut-off [rpm], of idle and boost rack [mm]. */
  stop_mm: number;
  breakaway_rpm: number;
  idle_mm: number;
  boost_mm: number;
}

const area = (model: Model): number => (Math.PI * model.plunger_mm ** 2) / 4;

/** Gain of delivery per mm of rack [mm3/stroke per mm]: the rack turns the plunger, the helix opens the port later. */
export const gainPerRack = (model: Model): number =>
  (area(model) * (model.plunger_mm / 2) * Math.tan((model.helix_deg * Math.PI) / 180)) / model.sleeve_mm;

/** Gain of delivery per degree of barrel or sleeve [mm3/stroke per deg]. */
export const gainPerDegree = (model: Model): number => (gainPerRack(model) * Math.PI * model.sleeve_mm) / 180;

/** +1 where adding to the stack raises the barrel and delays closure, -1 where it raises the plunger. */
export const shimSign = (model: Model): 1 | -1 => (model.adjuster === 'barrel_shim' ? 1 : -1);

/** The lift that the models were first drawn with; a revision may ask for another. */
const drawnLift = (model: Model): number => model.revisions[0].lift_mm;

/** Lift to port closure [mm]. */
export const liftToClosure = (model: Model, element: Element): number =>
  drawnLift(model) + shimSign(model) * (element.stack_mm - model.stack_mm) + element.offset_mm;

export function referenceOf(pump: Pump): Element {
  const element = pump.elements[(pump.model.firing_order[0] ?? 1) - 1];
  if (element === undefined) throw new Error(`${pump.model.name} has no reference element`);
  return element;
}

/** How far an element truly closes from its nominal angle after the reference [deg]; positive is late. */
export function phaseError(pump: Pump, element: Element): number {
  const reference = referenceOf(pump);
  const { cam } = pump.model;
  return (
    angleAt(cam, liftToClosure(pump.model, element)) -
    angleAt(cam, liftToClosure(pump.model, reference)) +
    element.lobe_deg -
    reference.lobe_deg
  );
}

/** Leak of an element [mm3/stroke times rpm]. */
export const leakOf = (pump: Pump, element: Element): number =>
  pump.model.leak * element.leak_factor * (1 + 0.75 * (element.barrel_hours / 9000) ** 1.4 * pump.wear_factor);

/** True delivery [mm3/stroke] at a rack [mm] and a speed [rpm]: what the helix meters less what leaks past the plunger. */
export const delivery = (pump: Pump, element: Element, rack: number, rpm: number): number =>
  Math.max(
    0,
    element.gain * gainPerRack(pump.model) * (rack - pump.model.rack_zero_mm) +
      gainPerDegree(pump.model) * element.turned_deg +
      element.metering_mm3 -
      leakOf(pump, element) / rpm,
  );

export interface Origin {
  readonly serial: string;
  readonly model: Model;
  readonly branch: string;
  readonly day: number;
  /** Extra wear of one element's tappet [mm per 1000 h], by element - 1. */
  readonly extra_drift_mm: (element: number) => number;
  readonly old_fleet: boolean;
}

/** A pump as it stands before its first visit: once well set, then run for a while. */
export function newPump(origin: Origin, chance: Dice): Pump {
  const { model, old_fleet } = origin;
  const hours_a_day = chance.between(2.5, 7.5);
  const since = chance.between(800, 5500);
  const lobes = model.firing_order.map(() => chance.normal(0, 0.1));
  const referenceLobe = lobes[(model.firing_order[0] ?? 1) - 1] ?? 0;
  const rate = rateAt(model.cam, drawnLift(model));
  const sign = shimSign(model);
  const barrel_hours = old_fleet ? chance.between(12000, 19000) : chance.between(0, 5000);
  const elements = lobes.map((lobe_deg, i): Element => {
    const booked_mm = model.stack_mm + model.step_mm * chance.whole(-4, 4);
    const stack_mm = booked_mm + chance.normal(0, 0.004);
    const settled = -(lobe_deg - referenceLobe) * rate + chance.normal(0, 0.025);
    return {
      lobe_deg,
      stack_mm,
      booked_mm: nearest(booked_mm, 100),
      second_mm: nearest(booked_mm, 100),
      offset_mm: settled - sign * (stack_mm - model.stack_mm),
      drift_mm: Math.abs(chance.normal(0, 0.008)) + origin.extra_drift_mm(i + 1),
      gain: chance.normal(1, 0.005),
      metering_mm3: chance.normal(0, 0.6),
      turned_deg: 0,
      leak_factor: chance.factor(0.12),
      barrel_hours,
    };
  });
  const pump: Pump = {
    serial: origin.serial,
    model,
    branch: origin.branch,
    elements,
    hours_a_day,
    wear_factor: old_fleet ? 1.5 : 1,
    engine_hours: barrel_hours + (old_fleet ? chance.between(4000, 12000) : chance.between(0, 6000)),
    last_day: origin.day,
    visits: 0,
    left_out: false,
    stop_mm: chance.normal(0, 0.06),
    breakaway_rpm: chance.normal(0, 8),
    idle_mm: chance.normal(0, 0.08),
    boost_mm: chance.normal(0, 0.08),
  };
  runFor(pump, since, chance);
  return pump;
}

/** The engine runs for `hours`: tappets wear, edges dull, springs settle. */
export function runFor(pump: Pump, hours: number, chance: Dice): void {
  const root = Math.sqrt(hours / 3000);
  pump.engine_hours += hours;
  for (const element of pump.elements) {
    element.offset_mm += (element.drift_mm * hours) / 1000 + chance.normal(0, 0.036) * root;
    element.metering_mm3 += chance.normal(-0.2, 1) * root;
    element.barrel_hours += hours;
  }
  pump.stop_mm += chance.normal(0, 0.08) * root;
  pump.breakaway_rpm += chance.normal(-4, 9) * root;
  pump.idle_mm += chance.normal(0, 0.1) * root;
  pump.boost_mm += chance.normal(-0.03, 0.1) * root;
}

/** New plunger and barrel in one element. */
export function renewBarrel(pump: Pump, element: Element, chance: Dice): void {
  element.barrel_hours = 0;
  element.leak_factor = chance.factor(0.1);
  element.gain = chance.normal(1, 0.004);
  element.metering_mm3 = chance.normal(0, 0.55) * pump.model.scatter;
}

/** New tappet and roller: its own tolerance, and no wear any more. */
export function renewTappet(element: Element, chance: Dice): void {
  element.offset_mm = chance.normal(0, 0.03) + 0.6 * element.drift_mm;
}

/** How far an element's lift is from where it would close exactly in phase with the reference at a lift of `lift` [mm]. */
export function liftStillMissing(pump: Pump, element: Element, lift: number): number {
  const lobes = element.lobe_deg - referenceOf(pump).lobe_deg;
  return lift - lobes * rateAt(pump.model.cam, lift) - liftToClosure(pump.model, element);
}

/** The pump has been apart: edges and stops are set by hand again. */
export function reassemble(pump: Pump, chance: Dice): void {
  const { scatter } = pump.model;
  for (const element of pump.elements) {
    if (element.barrel_hours > 0) element.metering_mm3 = chance.normal(0, 0.6) * scatter;
    element.turned_deg = 0;
  }
  pump.stop_mm = chance.normal(0, 0.05);
  pump.breakaway_rpm = chance.normal(0, 7);
  pump.idle_mm = chance.normal(0, 0.06);
  pump.boost_mm = chance.normal(0, 0.06);
}
