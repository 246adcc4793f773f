import { readClosure, readLift } from './bench';
import { rateAt } from './cam';
import { liftStillMissing, liftToClosure, phaseError, referenceOf, shimSign, type Element } from './pump';
import { nearest } from './rows';
import { givesUp, spend, type Verdict, type Work } from './work';

/** What the technician reads off wheel and dial in one run. */
interface Timing {
  /** Reference lift less its nominal [mm]. */
  readonly lift: number;
  /** Phase errors by element - 1 [deg]; the reference's own is 0. */
  readonly errors: readonly number[];
}

/** Limits are met by readings that stand exactly on them. */
const HAIR = 1e-9;
/** What the trade reckons with where a sheet gives nothing (common practice, no source). */
const USUAL_RATE = 0.2;
const USUAL_TOLERANCE = 0.5;

const toleranceOf = (work: Work): number => work.sheet.revision.tolerance_deg ?? USUAL_TOLERANCE;

function measure(work: Work, run: number): Timing {
  const { pump, bench, chance, technician, sheet } = work;
  const { firing_order, closure_angles_deg } = pump.model;
  const calibration = work.shop.lastCalibration(bench.dial, work.day);
  const drift = work.faults.gaugeDrift(bench.dial, work.day, work.job_id);
  const reference = referenceOf(pump);
  const missed = chance.chance(0.003) ? chance.whole(2, firing_order.length) : null;
  let lift = 0;
  const errors = pump.elements.map((element, i) => {
    const place = firing_order.indexOf(i + 1);
    const nominal = closure_angles_deg?.[place] ?? (360 / firing_order.length) * place;
    const isReference = element === reference;
    const cam_deg = isReference ? 0 : readClosure(nominal + phaseError(pump, element), technician, chance);
    const lift_mm =
      isReference || technician.notes_lifts
        ? readLift(liftToClosure(pump.model, element), bench, calibration, drift, chance)
        : null;
    if (isReference) lift = (lift_mm ?? 0) - (bench.preload_mm ?? 0) - sheet.revision.lift_mm;
    if (!isReference && missed === i + 1) return 0;
    work.rows.closures.push({
      job_id: work.job_id,
      run,
      element: i + 1,
      cam_deg,
      lift_mm,
      preload_mm: lift_mm === null ? null : bench.preload_mm,
      instrument_id: bench.dial,
    });
    return cam_deg - nominal;
  });
  spend(work, 12 + 3 * errors.length);
  return { lift: nearest(lift, 1000), errors };
}

function judge(work: Work, timing: Timing): Verdict {
  const { lift_minus_mm, lift_plus_mm } = work.pump.model;
  const tolerance = toleranceOf(work);
  const inBand = timing.lift >= -lift_minus_mm - HAIR && timing.lift <= lift_plus_mm + HAIR;
  return inBand && timing.errors.every((error) => Math.abs(error) <= tolerance + HAIR) ? 'in' : 'out';
}

/** Makes up a new stack, or turns the tappet screw: `change` [mm] as the technician means it. */
function reshim(work: Work, run: number, element: Element, change: number): void {
  const { model, elements } = work.pump;
  const { chance, technician } = work;
  const before_mm = element.booked_mm;
  const before_second_mm = element.second_mm;
  const wanted = nearest(before_mm + change, 100);
  const after_mm =
    model.sizes_mm === null
      ? Math.max(model.stack_mm - 0.8, Math.min(model.stack_mm + 0.8, wanted))
      : model.sizes_mm.reduce((a, b) => (Math.abs(b - wanted) < Math.abs(a - wanted) ? b : a));
  if (after_mm === before_mm && before_second_mm === before_mm) return;
  const byScrew = model.adjuster === 'tappet_screw';
  const batch = byScrew ? null : work.shop.batchOn(work.bench, work.day);
  const mismatch = model.split_pairs && chance.chance(0.015);
  const after_second_mm = nearest(after_mm + (mismatch ? 0.05 : 0), 100);
  element.booked_mm = after_mm;
  element.second_mm = after_second_mm;
  if (batch === null) element.stack_mm += after_mm - before_mm + chance.normal(0, 0.005);
  else {
    element.stack_mm =
      (after_mm + after_second_mm) / 2 + work.faults.batchExcess(batch, work.job_id) + chance.normal(0, 0.003);
  }
  // Bolted down again, a flange or a screw never seats quite as before.
  element.offset_mm += chance.normal(0, 0.028) * model.scatter;
  const made = nearest(after_mm - before_mm, 100);
  work.rows.shims.push({
    job_id: work.job_id,
    run,
    element: elements.indexOf(element) + 1,
    before_mm,
    after_mm,
    before_second_mm: model.split_pairs ? before_second_mm : null,
    after_second_mm: model.split_pairs ? after_second_mm : null,
    batch,
    stated_change_mm: technician.writes_delivery ? (chance.chance(0.005) ? nearest(-made, 100) : made) : null,
  });
  work.reshimmed += 1;
  spend(work, 14);
}

/** Changes shims after run `run`, from what was read in it. */
function correct(work: Work, run: number, timing: Timing): void {
  const { model, elements } = work.pump;
  const { lift_minus_mm, lift_plus_mm, step_mm, cam } = model;
  const rate = model.sheet_rate === 'none' ? USUAL_RATE : rateAt(cam, work.sheet.revision.lift_mm);
  const middle = (lift_plus_mm - lift_minus_mm) / 2;
  const outOfBand = timing.lift < -lift_minus_mm - HAIR || timing.lift > lift_plus_mm + HAIR;
  const steps = (mm: number) => Math.round(mm / step_mm) * step_mm;
  const referenceLift = outOfBand ? steps(middle - timing.lift) : 0;
  const wrongWay = work.faults.takesWrongSign(work.technician, work.job_id, work.chance);
  const sign = shimSign(model) * (wrongWay ? -1 : 1);
  const threshold = toleranceOf(work) * work.technician.zeal;
  const reference = referenceOf(work.pump);
  elements.forEach((element, i) => {
    const error = (timing.errors[i] ?? 0) - (element === reference ? 0 : referenceLift / rate);
    const lift = element === reference ? referenceLift : Math.abs(error) > threshold ? steps(-error * rate) : 0;
    if (lift !== 0) reshim(work, run, element, sign * lift);
  });
}

/** Timing and phasing as received, without touching anything; what must be done follows from `correct` of the result. */
export function receiveTiming(work: Work): { verdict: Verdict; correct: () => void } {
  const timing = measure(work, 0);
  return {
    verdict: judge(work, timing),
    correct: () => {
      correct(work, 0, timing);
    },
  };
}

/** The stacks at assembly, from lifts taken on the surface plate: close, but not yet proven on the bench. */
export function assembleStacks(work: Work): void {
  const { pump, chance } = work;
  const { step_mm, scatter } = pump.model;
  for (const element of pump.elements) {
    const missing = liftStillMissing(pump, element, work.sheet.revision.lift_mm) + chance.normal(0, 0.034) * scatter;
    const lift = Math.round(missing / step_mm) * step_mm;
    if (lift !== 0) reshim(work, 0, element, shimSign(pump.model) * lift);
  }
}

/** Measures from run 1 on and changes shims until timing and phasing are in, or nobody goes on. */
export function setTiming(work: Work): Verdict {
  for (let run = 1; ; run += 1) {
    const timing = measure(work, run);
    const verdict = judge(work, timing);
    if (verdict === 'in' ? !isZealous(work, timing, run) : givesUp(work, run)) return verdict;
    correct(work, run, timing);
    work.repeats += 1;
  }
}

/** Some go on at run 1 although everything is in. */
const isZealous = (work: Work, timing: Timing, run: number): boolean =>
  run === 1 &&
  work.technician.zeal < 0.9 &&
  timing.errors.some((error) => Math.abs(error) > toleranceOf(work) * work.technician.zeal) &&
  work.chance.chance(0.6);
