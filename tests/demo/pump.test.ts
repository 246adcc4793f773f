import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { angleAt, liftAt, rateAt } from '../../data-demo/cam';
import type { Cam, Model } from '../../data-demo/model';
import { models } from '../../data-demo/models';
import {
  delivery,
  gainPerDegree,
  gainPerRack,
  leakOf,
  liftToClosure,
  newPump,
  phaseError,
  referenceOf,
  runFor,
  type Element,
  type Pump,
} from '../../data-demo/pump';
import { dice } from '../../data-demo/random';

/** The signs of design, held against the pump itself: what a hand does and what the pump then does. */

const seeds = fc.integer({ min: 0, max: 100_000 });
const anyModel = fc.constantFrom(...models);

function pumpOf(model: Model, seed: number): Pump {
  const origin = { serial: 'X', model, branch: 'X', day: 0, extra_drift_mm: () => 0, old_fleet: false };
  return newPump(origin, dice(seed));
}

const follower = (pump: Pump): Element => {
  const element = pump.elements.find((one) => one !== referenceOf(pump));
  if (element === undefined) throw new Error('A pump has more than one element');
  return element;
};

const cams: readonly Cam[] = models.map(({ cam }) => cam);

describe('cams', () => {
  test('angle and lift undo each other', () => {
    fc.assert(
      fc.property(fc.constantFrom(...cams), fc.double({ min: 0.5, max: 5, noNaN: true }), (cam, lift) => {
        expect(liftAt(cam, angleAt(cam, lift))).toBeCloseTo(lift, 9);
      }),
    );
  });

  test('the lift rate is the slope of the lift', () => {
    fc.assert(
      fc.property(fc.constantFrom(...cams), fc.double({ min: 1, max: 5, noNaN: true }), (cam, lift) => {
        const deg = angleAt(cam, lift);
        expect(rateAt(cam, lift)).toBeCloseTo((liftAt(cam, deg + 1e-4) - liftAt(cam, deg - 1e-4)) / 2e-4, 6);
      }),
    );
  });
});

describe('closures', () => {
  test('more under the barrel closes later, more in the tappet earlier, by the shim over the lift rate', () => {
    fc.assert(
      fc.property(anyModel, seeds, fc.constantFrom(-0.05, 0.02, 0.05), (model, seed, shim) => {
        const pump = pumpOf(model, seed);
        const element = follower(pump);
        const before = phaseError(pump, element);
        const rate = rateAt(model.cam, liftToClosure(model, element));
        element.stack_mm += shim;
        const sign = model.adjuster === 'barrel_shim' ? 1 : -1;
        expect(phaseError(pump, element) - before).toBeCloseTo((sign * shim) / rate, 2);
      }),
    );
  });

  test('on a cam with an even rate, the error is the difference of lifts over the rate, and of the lobes', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        for (const model of models) {
          if (model.cam.form !== 'line') continue;
          const pump = pumpOf(model, seed);
          const [element, reference] = [follower(pump), referenceOf(pump)];
          const lifts = liftToClosure(model, element) - liftToClosure(model, reference);
          const lobes = element.lobe_deg - reference.lobe_deg;
          expect(phaseError(pump, element)).toBeCloseTo(lifts / model.cam.rate + lobes, 9);
        }
      }),
    );
  });

  test('the same change under every barrel leaves the phasing of an even cam alone', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const model = models.find(({ cam }) => cam.form === 'line');
        if (model === undefined) throw new Error('No cam has an even rate');
        const pump = pumpOf(model, seed);
        const before = pump.elements.map((element) => phaseError(pump, element));
        for (const element of pump.elements) element.stack_mm += 0.1;
        pump.elements.forEach((element, i) => {
          expect(phaseError(pump, element)).toBeCloseTo(before[i] ?? NaN, 9);
        });
      }),
    );
  });
});

describe('deliveries', () => {
  test('a barrel turned in the positive sense raises delivery by the gain of its angle', () => {
    fc.assert(
      fc.property(anyModel, seeds, fc.double({ min: 0.5, max: 4, noNaN: true }), (model, seed, turn) => {
        const pump = pumpOf(model, seed);
        const element = follower(pump);
        const rack = model.revisions[0].full_rack_mm;
        const before = delivery(pump, element, rack, model.rated_rpm);
        element.turned_deg += turn;
        expect(delivery(pump, element, rack, model.rated_rpm) - before).toBeCloseTo(turn * gainPerDegree(model), 9);
      }),
    );
  });

  test('the gain of an angle is that of the geometry of plunger and helix', () => {
    for (const model of models) {
      const area = (Math.PI * model.plunger_mm ** 2) / 4;
      const geometric = (area * Math.PI * model.plunger_mm * Math.tan((model.helix_deg * Math.PI) / 180)) / 360;
      expect(gainPerDegree(model)).toBeCloseTo(geometric, 9);
      expect(gainPerRack(model)).toBeGreaterThan(5);
    }
  });

  test('delivery falls with speed as a leak over rpm does', () => {
    fc.assert(
      fc.property(anyModel, seeds, (model, seed) => {
        const pump = pumpOf(model, seed);
        const element = follower(pump);
        const rack = model.revisions[0].full_rack_mm;
        const lost = delivery(pump, element, rack, 1000) - delivery(pump, element, rack, 250);
        expect(lost).toBeCloseTo(leakOf(pump, element) * (1 / 250 - 1 / 1000), 6);
      }),
    );
  });

  test('every hour that the engine runs leaks more', () => {
    fc.assert(
      fc.property(anyModel, seeds, fc.integer({ min: 100, max: 8000 }), (model, seed, hours) => {
        const pump = pumpOf(model, seed);
        const before = pump.elements.map((element) => leakOf(pump, element));
        runFor(pump, hours, dice(seed, 1));
        pump.elements.forEach((element, i) => {
          expect(leakOf(pump, element)).toBeGreaterThan(before[i] ?? NaN);
        });
      }),
    );
  });
});
