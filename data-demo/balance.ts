import type { SpreadBasis } from '../lib/calc/types';
import { catchDraw, setBench } from './bench';
import { clock } from './calendar';
import { delivery, gainPerDegree, renewBarrel } from './pump';
import { nearest } from './rows';
import type { SheetPoint } from './sheets';
import { givesUp, spend, together, type Verdict, type Work } from './work';

/** Deliveries at one test point in one run, by element - 1 [mm3/stroke], as the technician averages them. */
interface Drawn {
  readonly point: SheetPoint;
  readonly deliveries: readonly number[] | null;
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

function spreadOf(values: readonly number[], basis: SpreadBasis): number {
  const middle = mean(values);
  const range = Math.max(...values) - Math.min(...values);
  const deviation = Math.max(...values.map((value) => Math.abs(value - middle)));
  if (basis === 'range_mm3') return range;
  if (basis === 'deviation_mm3') return deviation;
  return (100 * (basis === 'range_percent' ? range : deviation)) / middle;
}

/** One draw of all elements, whether everything was set as the sheet wants it, and whether every graduate was read. */
function drawOnce(work: Work, run: number, point: SheetPoint, repeat: number) {
  const { pump, bench, chance, technician, job_id } = work;
  const factor = work.faults.volumeFactor(bench, work.day, job_id);
  const strokes = point.plan.strokes;
  const setting = setBench(point, work.day, chance);
  spend(work, 3 + strokes / point.plan.rpm);
  const taken_at = clock(work.day, work.minutes);
  const broken = chance.chance(0.0015) ? chance.whole(1, pump.elements.length) : null;
  const values = pump.elements.map((element, i) => {
    const true_mm3 = delivery(pump, element, setting.rack, setting.rpm);
    const volume_cm3 = catchDraw(true_mm3, strokes, setting, factor, chance);
    const value = nearest((1000 * volume_cm3) / strokes, 10);
    if (broken !== i + 1) {
      work.rows.draws.push({
        job_id,
        run,
        test_point: point.plan.name,
        repeat,
        element: i + 1,
        volume_cm3,
        strokes,
        ...setting.read,
        stated_mm3_per_stroke: technician.writes_delivery ? writtenDown(work, value) : null,
        taken_at,
        instrument_id: bench.graduates,
      });
    }
    return value;
  });
  return { values, inWindow: setting.inWindow, whole: broken === null };
}

/** Draws as received until `wanted` draws count in every element, however often that takes. */
export function drawSteadily(work: Work, point: SheetPoint, wanted: number): void {
  let counted = 0;
  for (let repeat = 1; counted < wanted; repeat += 1) {
    const { inWindow, whole } = drawOnce(work, 0, point, repeat);
    if (inWindow && whole) counted += 1;
  }
}

function draw(work: Work, run: number, point: SheetPoint): Drawn {
  const { pump, chance } = work;
  const counted: number[][] = [];
  const wanted = ['base', 'full'].includes(point.plan.purpose) && run > 0 && chance.chance(0.75) ? 2 : 1;
  for (let repeat = 1; repeat <= 4; repeat += 1) {
    const { values, inWindow } = drawOnce(work, run, point, repeat);
    if (inWindow) counted.push(values);
    // One draw in eight that did not count is left at that.
    if (counted.length >= wanted || (!inWindow && chance.chance(0.12))) break;
  }
  const deliveries =
    counted.length === 0 ? null : pump.elements.map((_, i) => mean(counted.map((values) => values[i] ?? 0)));
  return { point, deliveries };
}

/** Now and then a figure is swapped or a factor of two is lost on the way to the card. */
function writtenDown(work: Work, value: number): number {
  if (!work.chance.chance(0.0006)) return value;
  const tens = Math.floor(value / 10) % 10;
  const ones = Math.floor(value) % 10;
  const swapped = nearest(value + 9 * (ones - tens), 10);
  const slip = swapped !== value && swapped > 0 ? swapped : nearest(value * 2, 10);
  if (slip === value) return value;
  work.faults.touch('arithmetic_slip', work.job_id);
  return slip;
}

function judge({ point, deliveries }: Drawn): Verdict {
  if (deliveries === null) return 'not measured';
  const { row, plan } = point;
  const middle = mean(deliveries);
  const inBand = middle >= row.low_mm3 && middle <= row.high_mm3;
  return inBand && spreadOf(deliveries, plan.basis) <= plan.spread ? 'in' : 'out';
}

function drawAll(work: Work, run: number): Drawn[] {
  const { points } = work.sheet;
  const skipped = work.chance.chance(0.006) ? work.chance.whole(1, points.length - 1) : null;
  if (skipped !== null) work.faults.touch('test_point_missing', work.job_id);
  return points.filter((_, i) => i !== skipped).map((point) => draw(work, run, point));
}

/** Turns barrels (or sleeves) after run `run`, from the deliveries read in it. */
function correct(work: Work, run: number, drawn: readonly Drawn[]): void {
  const { pump, chance, technician } = work;
  const { model } = pump;
  const usable = drawn.flatMap(({ point, deliveries }) =>
    deliveries !== null && ['base', 'full', 'light'].includes(point.plan.purpose)
      ? [{ centre: point.centre, purpose: point.plan.purpose, deliveries, middle: mean(deliveries) }]
      : [],
  );
  const heavy = usable.filter(({ purpose }) => purpose !== 'light');
  if (heavy.length === 0) return;
  const shift = mean(heavy.map(({ centre, middle }) => centre - middle));
  const far = Math.abs(shift) > 0.008 * mean(heavy.map(({ centre }) => centre));
  const per = gainPerDegree(model);
  const half = model.slot_deg === null ? Infinity : model.slot_deg / 2;
  pump.elements.forEach((element, i) => {
    const deviation = mean(usable.map(({ deliveries, middle }) => (deliveries[i] ?? middle) - middle));
    const wanted = Math.round(((far ? shift : 0) - deviation) / per / 0.25) * 0.25;
    if (Math.abs(wanted) < 0.25) return;
    const rotation_deg = nearest(Math.max(-half - element.turned_deg, Math.min(half - element.turned_deg, wanted)), 4);
    if (rotation_deg === 0) return;
    element.turned_deg += rotation_deg + chance.normal(0, 0.22) * technician.hand * model.scatter;
    work.rows.barrels.push({
      job_id: work.job_id,
      run,
      element: i + 1,
      rotation_deg,
      scribed: chance.chance(0.85),
    });
    work.turned += 1;
    spend(work, 4);
  });
}

/** In a rebuild an element that leaks too much for the low-speed point gets a new plunger and barrel after all. */
function renewLeaky(work: Work, drawn: readonly Drawn[]): void {
  const slow = drawn.find(({ point }) => point.plan.purpose === 'low-speed');
  if (slow === undefined || slow.deliveries === null || judge(slow) === 'in') return;
  const floor = slow.point.centre * 0.93;
  work.pump.elements.forEach((element, i) => {
    if ((slow.deliveries?.[i] ?? Infinity) >= floor || element.barrel_hours < 3000) return;
    renewBarrel(work.pump, element, work.chance);
    work.rows.parts.push({
      job_id: work.job_id,
      element: i + 1,
      part: 'plunger and barrel',
      quantity: 1,
      cost: nearest(work.pump.model.element_price, 100),
    });
  });
}

/** Deliveries as received. */
export function receiveDeliveries(work: Work): { verdict: Verdict; correct: () => void } {
  const drawn = drawAll(work, 0);
  return {
    verdict: together(drawn.map(judge)),
    correct: () => {
      correct(work, 0, drawn);
    },
  };
}

/** Draws every test point from run 1 on and balances until all are in, or nobody goes on. */
export function balance(work: Work, mayRenew: boolean): Verdict {
  for (let run = 1; ; run += 1) {
    const drawn = drawAll(work, run);
    const verdict = together(drawn.map(judge));
    if (verdict !== 'out' || givesUp(work, run)) return verdict;
    if (mayRenew && run >= 2) renewLeaky(work, drawn);
    correct(work, run, drawn);
    work.repeats += 1;
  }
}
