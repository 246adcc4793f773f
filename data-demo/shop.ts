import { dayOf, DAYS, iso, LAST_DAY } from './calendar';
import { dice, streams, type Dice } from './random';
import { nearest, type Rows } from './rows';

export interface Technician {
  readonly mark: string;
  readonly home: Bench;
  readonly from: number;
  /** Scatter of the closures that they read [deg]. */
  readonly reading_deg: number;
  /** How exactly they turn barrels and set stops; 1 is usual. */
  readonly hand: number;
  /** Part of the tolerance from which on they change a shim: below 1 they also change what was in. */
  readonly zeal: number;
  /** Whether they write deliveries per stroke on the card. */
  readonly writes_delivery: boolean;
  /** Whether they note the lift of every element. */
  readonly notes_lifts: boolean;
  readonly pace: number;
}

export interface Bench {
  readonly bench_id: string;
  /** What its graduates read, over what is in them. */
  readonly volume_factor: number;
  /** Gauge preload that its lift readings still contain [mm]. */
  readonly preload_mm: number | null;
  readonly dial: string;
  readonly graduates: string;
}

export interface Calibration {
  readonly instrument_id: string;
  readonly on: number;
  readonly due: number;
  /** What the gauge reads too much until its next calibration, in its own unit. */
  readonly error: number;
  readonly row: Rows['instruments'];
}

export interface Shop {
  readonly benches: readonly [Bench, ...Bench[]];
  readonly technicians: readonly Technician[];
  readonly branches: readonly string[];
  readonly calibrations: readonly Calibration[];
  /** The calibration that an instrument last had on a day. */
  readonly lastCalibration: (instrument_id: string, day: number) => Calibration | null;
  /** Shims come in batches, each used up in about four months. */
  readonly batchOn: (bench: Bench, day: number) => string;
}

export const gaugeKinds = [
  { mark: 'DG', kind: 'dial gauge', uncertainty: 0.008, unit: 'mm', error: 0.004 },
  { mark: 'GR', kind: 'graduates', uncertainty: 0.25, unit: 'cm3', error: 0 },
  { mark: 'DW', kind: 'degree wheel', uncertainty: 0.08, unit: 'deg', error: 0 },
  { mark: 'RG', kind: 'rack gauge', uncertainty: 0.03, unit: 'mm', error: 0 },
  { mark: 'TA', kind: 'tachometer', uncertainty: 2, unit: 'rpm', error: 0 },
  { mark: 'TH', kind: 'thermometer', uncertainty: 0.4, unit: 'C', error: 0 },
] as const;

const branchNames = [
  'Millrace',
  'Saltmarsh',
  'Northgate',
  'Quarry Road',
  'Ferry Lane',
  'Tannery',
  'Upper Ford',
  'Kiln Hill',
  'Long Acre',
  'Drovers Way',
  'Stonebridge',
  'Fallow End',
] as const;

/** The branch that looks after an old fleet, and the one that is slow to take up new sheets. */
export const OLD_FLEET_BRANCH = 'Quarry Road';
export const SLOW_BRANCH = 'Saltmarsh';

/** The dial gauge that once ran past its date. */
export const LATE_GAUGE = { instrument_id: 'DG-3', due: dayOf('2023-02-14'), next: dayOf('2023-11-20') } as const;

/** A shop fit for that many jobs in eight years: the demo's own 2,500 need 3 benches, 7 technicians and 4 branches. */
export function openShop(jobs: number, seed: number, faults: boolean): Shop {
  const chance = dice(seed, streams.gauges);
  const more = Math.max(3, Math.round(jobs / 4000)) - 1;
  const benches: [Bench, ...Bench[]] = [benchOf(1), ...Array.from({ length: more }, (_, i) => benchOf(i + 2))];
  const technicians = hire(Math.max(7, Math.round(jobs / 1200)), benches);
  const calibrations = benches.flatMap((bench) =>
    gaugeKinds.flatMap((gauge) => historyOf(bench, gauge, chance, faults)),
  );
  const byInstrument = new Map<string, Calibration[]>();
  for (const calibration of calibrations) {
    const history = byInstrument.get(calibration.instrument_id);
    if (history === undefined) byInstrument.set(calibration.instrument_id, [calibration]);
    else history.push(calibration);
  }
  return {
    benches,
    technicians,
    branches: branchNames.slice(0, Math.min(branchNames.length, Math.max(4, Math.round(jobs / 6000)))),
    calibrations,
    lastCalibration: (id, day) => byInstrument.get(id)?.findLast((calibration) => calibration.on <= day) ?? null,
    batchOn(bench, day) {
      const group = Math.floor(benches.indexOf(bench) / 6);
      const period = Math.floor((day / DAYS) * 24);
      const name = `${18 + Math.floor(period / 3)}${String.fromCharCode(65 + (period % 3))}`;
      return group === 0 ? `S${name}` : `S${name}-${group + 1}`;
    },
  };
}

function benchOf(n: number): Bench {
  return {
    bench_id: `B${n}`,
    volume_factor: n % 3 === 1 ? 1.001 : n % 3 === 2 ? 1 : 0.998,
    preload_mm: n % 3 === 0 ? 1 : null,
    dial: `DG-${n}`,
    graduates: `GR-${n}`,
  };
}

function hire(count: number, benches: Shop['benches']): Technician[] {
  return Array.from({ length: count }, (_, i) => {
    return {
      mark: `T${i + 1}`,
      home: benches[i % benches.length] ?? benches[0],
      from: i % 7 === 6 ? dayOf('2021-04-01') : 0,
      reading_deg: 0.045 + 0.008 * (i % 4),
      hand: 0.85 + 0.1 * (i % 4),
      zeal: i % 7 === 3 ? 0.5 : 0.95,
      writes_delivery: i % 3 !== 1,
      notes_lifts: i % 7 === 1,
      pace: 0.9 + 0.05 * (i % 5),
    };
  });
}

function historyOf(bench: Bench, gauge: (typeof gaugeKinds)[number], chance: Dice, faults: boolean): Calibration[] {
  const instrument_id = `${gauge.mark}-${bench.bench_id.slice(1)}`;
  const late = faults && instrument_id === LATE_GAUGE.instrument_id;
  const history: Calibration[] = [];
  let on = -chance.whole(20, 340);
  while (on <= LAST_DAY) {
    // The gauge that ran past its date came from a calibration exactly a year before that.
    const passed = late && on < LATE_GAUGE.next && on + 365 > LATE_GAUGE.due;
    const due = passed ? LATE_GAUGE.due : on + 365;
    history.push({
      instrument_id,
      on,
      due,
      error: chance.normal(0, gauge.error),
      row: {
        instrument_id,
        kind: gauge.kind,
        bench_id: bench.bench_id,
        calibrated_on: iso(on),
        due_on: iso(due),
        expanded_uncertainty: nearest(gauge.uncertainty * chance.between(0.9, 1.1), 1000),
        unit: gauge.unit,
      },
    });
    on = passed ? LATE_GAUGE.next : due - chance.whole(3, 25);
  }
  return history;
}
