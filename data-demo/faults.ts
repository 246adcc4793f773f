import { dayOf, iso } from './calendar';
import type { Pump } from './pump';
import type { Dice } from './random';
import { LATE_GAUGE, OLD_FLEET_BRANCH, SLOW_BRANCH, type Bench, type Shop, type Technician } from './shop';
import type { Truth } from './truths';

/** What is wrong in this shop without anyone having said so, and which jobs it touched. */

const THICK = { day: dayOf('2024-11-15'), mm: 0.07 } as const;
const HIGH_BENCH = { bench_id: 'B2', since: dayOf('2021-06-01'), percent: 2.5 } as const;
const LATE_ELEMENT = { model: 'Heron', element: 3, drift_mm: 0.055 } as const;
const WRONG_SIGN = { technician: 'T5', percent: 22 } as const;
const SUPERSEDED = { model: 'Heron', since: dayOf('2021-03-01'), until: dayOf('2022-08-31'), part: 0.8 } as const;
const DRIFTED_GAUGE_MM = 0.03;
const OLD_FLEET = { model: 'Dunlin', part: 0.85 } as const;

type Kind = Truth['kind'];

export class Faults {
  private readonly touched = new Map<Kind, string[]>();
  private readonly thickBatch: { readonly name: string; readonly from: number; readonly to: number };

  constructor(
    private readonly planted: boolean,
    shop: Shop,
  ) {
    const [first] = shop.benches;
    const name = shop.batchOn(first, THICK.day);
    let from = THICK.day;
    while (shop.batchOn(first, from - 1) === name) from -= 1;
    let to = THICK.day;
    while (shop.batchOn(first, to + 1) === name) to += 1;
    this.thickBatch = { name, from, to };
  }

  /** A job is named once for each kind, however often it is touched. */
  touch(kind: Kind, job_id: string): void {
    const jobs = this.touched.get(kind);
    if (jobs === undefined) this.touched.set(kind, [job_id]);
    else if (jobs.at(-1) !== job_id) jobs.push(job_id);
  }

  /** What a new stack out of this batch measures too much [mm]. */
  batchExcess(batch: string, job_id: string): number {
    if (!this.planted || batch !== this.thickBatch.name) return 0;
    this.touch('thick_shim_batch', job_id);
    return THICK.mm;
  }

  volumeFactor(bench: Bench, day: number, job_id: string): number {
    if (!this.planted || bench.bench_id !== HIGH_BENCH.bench_id || day < HIGH_BENCH.since) return bench.volume_factor;
    this.touch('bench_reads_high', job_id);
    return bench.volume_factor * (1 + HIGH_BENCH.percent / 100);
  }

  extraDrift(model: string): (element: number) => number {
    const late = this.planted && model === LATE_ELEMENT.model;
    return (element) => (late && element === LATE_ELEMENT.element ? LATE_ELEMENT.drift_mm : 0);
  }

  takesWrongSign(technician: Technician, job_id: string, chance: Dice): boolean {
    const slips = chance.chance(WRONG_SIGN.percent / 100);
    if (!this.planted || technician.mark !== WRONG_SIGN.technician || !slips) return false;
    this.touch('wrong_sign_of_shims', job_id);
    return true;
  }

  /** Whether the branch still works to the sheet before the last one. */
  usesOldSheet(pump: Pump, day: number, job_id: string, chance: Dice): boolean {
    const slow = chance.chance(SUPERSEDED.part);
    const here = pump.branch === SLOW_BRANCH && pump.model.name === SUPERSEDED.model;
    if (!this.planted || !here || day < SUPERSEDED.since || day > SUPERSEDED.until || !slow) return false;
    this.touch('superseded_revision', job_id);
    return true;
  }

  /** What a dial gauge has drifted since it ought to have been calibrated [mm]. */
  gaugeDrift(instrument_id: string, day: number, job_id: string): number {
    const late = instrument_id === LATE_GAUGE.instrument_id && day >= LATE_GAUGE.due && day < LATE_GAUGE.next;
    if (!this.planted || !late) return 0;
    this.touch('gauge_past_due', job_id);
    return DRIFTED_GAUGE_MM;
  }

  isOldFleet(model: string, branch: string, chance: Dice): boolean {
    const old = chance.chance(OLD_FLEET.part);
    return this.planted && old && model === OLD_FLEET.model && branch === OLD_FLEET_BRANCH;
  }

  truths(): Truth[] {
    const slips = ['arithmetic_slip', 'test_point_missing'] as const;
    const says = {
      arithmetic_slip: 'Deliveries per stroke on the card that do not follow from volume and strokes.',
      test_point_missing: 'A test point that the sheet asks for was not drawn at all in one of the runs.',
    };
    return [
      ...(this.planted ? this.plantedTruths() : []),
      ...slips.map((kind) => ({
        kind,
        says: says[kind],
        subject: {},
        since: null,
        until: null,
        size: null,
        job_ids: this.jobsOf(kind),
      })),
    ];
  }

  private jobsOf(kind: Kind): string[] {
    return this.touched.get(kind) ?? [];
  }

  private plantedTruths(): Truth[] {
    return [
      {
        kind: 'thick_shim_batch',
        says: 'Stacks made up with shims of this batch measure more than is marked on them.',
        subject: { batch: this.thickBatch.name },
        since: iso(this.thickBatch.from),
        until: iso(this.thickBatch.to),
        size: { value: THICK.mm, unit: 'mm a stack' },
        job_ids: this.jobsOf('thick_shim_batch'),
      },
      {
        kind: 'bench_reads_high',
        says: 'The graduates of this bench show more than is in them.',
        subject: { bench_id: HIGH_BENCH.bench_id },
        since: iso(HIGH_BENCH.since),
        until: null,
        size: { value: HIGH_BENCH.percent, unit: 'percent' },
        job_ids: this.jobsOf('bench_reads_high'),
      },
      {
        kind: 'element_closes_late',
        says: "This model's third tappet wears faster than the others, so its element closes late again at every visit.",
        subject: { pump_model: LATE_ELEMENT.model, element: LATE_ELEMENT.element },
        since: null,
        until: null,
        size: { value: LATE_ELEMENT.drift_mm, unit: 'mm per 1000 h' },
        job_ids: this.jobsOf('element_closes_late'),
      },
      {
        kind: 'wrong_sign_of_shims',
        says: 'This technician sometimes adds where shims must come out, and the other way round.',
        subject: { technician: WRONG_SIGN.technician },
        since: null,
        until: null,
        size: { value: WRONG_SIGN.percent, unit: 'percent of rounds' },
        job_ids: this.jobsOf('wrong_sign_of_shims'),
      },
      {
        kind: 'superseded_revision',
        says: 'This branch went on working to revision A of the sheet after revision B had come out.',
        subject: { spec_id: 'HER-6', spec_revision: 'A', branch: SLOW_BRANCH },
        since: iso(SUPERSEDED.since),
        until: iso(SUPERSEDED.until),
        size: null,
        job_ids: this.jobsOf('superseded_revision'),
      },
      {
        kind: 'gauge_past_due',
        says: 'This dial gauge was used on past the day it was due, and had drifted.',
        subject: { instrument_id: LATE_GAUGE.instrument_id },
        since: iso(LATE_GAUGE.due),
        until: iso(LATE_GAUGE.next - 1),
        size: { value: DRIFTED_GAUGE_MM, unit: 'mm' },
        job_ids: this.jobsOf('gauge_past_due'),
      },
      {
        kind: 'worn_barrels',
        says: 'This branch looks after an old fleet: its barrels have run long on dirty fuel and lose much at low speed.',
        subject: { pump_model: OLD_FLEET.model, branch: OLD_FLEET_BRANCH },
        since: null,
        until: null,
        size: null,
        job_ids: this.jobsOf('worn_barrels'),
      },
    ];
  }
}
