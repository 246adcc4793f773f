import { balance, receiveDeliveries } from './balance';
import { dayOf, iso, LAST_DAY, workday } from './calendar';
import type { Faults } from './faults';
import { receiveGovernor, setGovernor } from './governing';
import { assembleStacks, receiveTiming, setTiming } from './phasing';
import { reassemble, renewBarrel, renewTappet, type Pump } from './pump';
import type { Dice } from './random';
import { nearest, type CleanRows, type JobTable, type Rows } from './rows';
import { sheetsOn } from './sheets';
import type { Shop } from './shop';
import { together, type Verdict, type Work } from './work';

type WorkType = Rows['jobs']['work_type'];

const complaints = {
  worn: ['hard starting when warm', 'low power', 'stalls at idle', 'low power'],
  drifted: ['smoke under load', 'uneven running', 'knock', 'low power'],
  governor: ['hunting at idle', 'overspeeds', 'slow to pick up'],
  plain: ['due by hours', 'leaks', 'engine being overhauled', 'due by hours'],
} as const;

const notes = [
  'Rack stiff, freed and cleaned.',
  'Left out on the customer\'s word, "runs well enough".',
  'Water in the fuel; tank to be drained.',
  'Bracket stamped "2 < 3"; kept.',
  'Coupling key replaced, flange cleaned.',
  'Seal wire missing on arrival.',
] as const;

/** Everything that came of one job. */
export interface Done {
  readonly rows: CleanRows<JobTable>;
  readonly finished: number | null;
}

export interface Order {
  readonly job_id: string;
  readonly pump: Pump;
  readonly received: number;
  readonly shop: Shop;
  readonly faults: Faults;
  readonly chance: Dice;
  readonly rows: CleanRows<JobTable>;
}

function chooseWork(pump: Pump, chance: Dice): WorkType {
  const hours = Math.max(...pump.elements.map((element) => element.barrel_hours));
  if (hours > 9500 || pump.left_out) {
    return chance.chance(0.7) ? 'rebuild' : chance.chance(0.6) ? 'recalibrate' : 'test';
  }
  return chance.weighted(['test', 'recalibrate', 'rebuild'] as const, (work) =>
    work === 'test' ? 0.2 : work === 'recalibrate' ? 0.56 : 0.24,
  );
}

function chooseComplaint(pump: Pump, workType: WorkType, chance: Dice): string {
  const worn = Math.max(...pump.elements.map((element) => element.barrel_hours)) > 8000;
  const governor = Math.abs(pump.breakaway_rpm) > 18 || Math.abs(pump.idle_mm) > 0.22;
  const kind = worn && chance.chance(0.6) ? 'worn' : governor && chance.chance(0.5) ? 'governor' : null;
  return chance.pick(complaints[kind ?? (workType === 'recalibrate' && chance.chance(0.5) ? 'drifted' : 'plain')]);
}

/** The number that the claim's papers bear; every fifth card leaves it out. */
function claimOf(job_id: string): string | null {
  const number = Number(job_id.replace(/\D/g, ''));
  return number % 5 === 0 ? null : `W-${String(number).padStart(4, '0')}`;
}

/** Does a whole job on a pump: leaves the pump as it goes out, and writes down what was read and done. */
export function doJob(order: Order): Done {
  const { pump, received, shop, faults, chance, job_id, rows } = order;
  const lastDay = pump.last_day;
  const warranty = pump.visits > 0 && received - lastDay < 200 && chance.chance(0.6);
  const workType = chooseWork(pump, chance);
  const complaint = chooseComplaint(pump, workType, chance);
  const bench = chance.pick(shop.benches);
  const present = shop.technicians.filter((technician) => technician.from <= received);
  const technician = chance.weighted(present, (one) => (one.home === bench ? 3 : 0.6));
  const known = sheetsOn(pump.model, received);
  const old = faults.usesOldSheet(pump, received, job_id, chance);
  const sheet = known.at(old ? -2 : -1);
  if (sheet === undefined) throw new Error(`${pump.model.name} has no sheet on ${iso(received)}`);
  const started = workday(received + Math.round(chance.weibull(1.3, workType === 'rebuild' ? 7 : 4)));
  const finishing = workday(started + (workType === 'rebuild' ? chance.whole(2, 7) : chance.chance(0.6) ? 0 : 1));
  const finished = finishing <= LAST_DAY ? finishing : null;

  if (pump.wear_factor > 1 && pump.elements.some((element) => element.barrel_hours > 9000)) {
    faults.touch('worn_barrels', job_id);
  }
  if (faults.extraDrift(pump.model.name)(3) > 0) faults.touch('element_closes_late', job_id);

  const work: Work = {
    job_id,
    pump,
    sheet,
    bench,
    technician,
    shop,
    faults,
    chance,
    rows,
    day: started,
    minutes: 0,
    benchMinutes: 0,
    reshimmed: 0,
    turned: 0,
    repeats: 0,
    firstPart: rows.parts.length,
  };
  const verdict = started <= LAST_DAY ? carryOut(work, workType, finished) : 'not measured';
  const row: Rows['jobs'] = {
    job_id,
    pump_serial: pump.serial,
    pump_model: pump.model.name,
    spec_id: sheet.spec.spec_id,
    spec_revision: sheet.spec.revision,
    received_on: iso(received),
    finished_on: finished === null ? null : iso(finished),
    work_type: workType,
    warranty,
    claim_no: warranty ? claimOf(job_id) : null,
    complaint,
    technician: technician.mark,
    bench_id: bench.bench_id,
    engine_hours: chance.chance(0.9) ? nearest(pump.engine_hours, 1) : null,
    bench_hours: finished === null ? null : nearest(0.4 + work.benchMinutes / 60, 10),
    labour_hours: finished === null ? null : labourHours(work, workType),
    parts_cost: finished === null ? null : partsCost(work, workType, finished),
    currency: 'EUR',
    branch: pump.branch,
    stated_result: finished === null ? null : statedResult(verdict, chance),
    note: chance.chance(0.05) ? chance.pick(notes) : null,
  };
  rows.jobs.push(row);
  if (finished !== null) pump.last_day = finished;
  pump.visits += 1;
  pump.left_out = verdict === 'out';
  return { rows, finished };
}

const statedResult = (verdict: Verdict, chance: Dice): 'pass' | 'fail' =>
  (verdict === 'in' || verdict === 'not measured') !== chance.chance(0.01) ? 'pass' : 'fail';

/** The course of the work, and how the pump left the bench. */
function carryOut(work: Work, workType: WorkType, finished: number | null): Verdict {
  const { chance } = work;
  const asReceived = workType === 'rebuild' ? chance.chance(0.45) : true;
  const received = asReceived
    ? [
        ...(workType === 'test' && chance.chance(0.25) ? [] : [receiveTiming(work)]),
        receiveDeliveries(work),
        ...(workType === 'rebuild' ? [] : [receiveGovernor(work)]),
      ]
    : [];
  if (finished === null) return 'not measured';
  if (work.day !== finished) {
    work.day = finished;
    work.minutes = 0;
  }
  if (workType === 'test') {
    const verdict = together(received.map((stage) => stage.verdict));
    if (verdict !== 'out' || chance.chance(0.5)) return verdict;
  }
  if (workType === 'rebuild') rebuild(work);
  else for (const stage of received) stage.correct();
  const timing = setTiming(work);
  const deliveries = balance(work, workType === 'rebuild');
  const governor = setGovernor(work);
  return together([timing, deliveries, governor]);
}

function rebuild(work: Work): void {
  const { pump, chance } = work;
  reassemble(pump, chance);
  const worn = pump.elements.filter((element) => element.barrel_hours > 5500 || chance.chance(0.08));
  for (const element of worn) renewBarrel(pump, element, chance);
  const tappets = pump.elements.filter(() => chance.chance(0.35));
  for (const element of tappets) renewTappet(element, chance);
  const all = worn.length === pump.elements.length;
  const price = pump.model.element_price;
  if (all) fit(work, null, 'plunger and barrel', worn.length, price);
  else for (const element of worn) fit(work, element, 'plunger and barrel', 1, price);
  if (tappets.length > 0) fit(work, null, 'tappet roller', tappets.length, price * 0.22);
  fit(work, null, 'seal kit', 1, 38 + price * 0.3);
  if (chance.chance(0.7)) fit(work, null, 'delivery valve', pump.elements.length, price * 0.3);
  if (chance.chance(0.4)) fit(work, null, 'governor spring set', 1, price * 0.8);
  if (chance.chance(0.3)) fit(work, null, 'camshaft bearing', 2, price * 0.5);
  if (pump.model.boost.length > 0 && chance.chance(0.5)) fit(work, null, 'boost diaphragm', 1, price * 0.45);
  assembleStacks(work);
}

function fit(work: Work, element: Pump['elements'][number] | null, part: string, quantity: number, each: number): void {
  work.rows.parts.push({
    job_id: work.job_id,
    element: element === null ? null : work.pump.elements.indexOf(element) + 1,
    part,
    quantity,
    cost: nearest(each * quantity * inflation(work.day), 100),
  });
}

/** Prices and wages rise by 3 % a year. */
const inflation = (day: number): number => 1 + (0.03 * (day - dayOf('2018-01-01'))) / 365.25;

function labourHours(work: Work, workType: WorkType): number {
  const n = work.pump.elements.length;
  const base = { test: 1.2 + 0.25 * n, recalibrate: 2.6 + 0.5 * n, rebuild: 8 + 1.5 * n }[workType];
  const rework = 0.28 * work.reshimmed + 0.09 * work.turned + 0.7 * work.repeats;
  return nearest((base + rework) * work.technician.pace * work.chance.factor(0.13), 4);
}

/** Sum of the lines; a recalibration takes a gasket set, written as a line of its own. */
function partsCost(work: Work, workType: WorkType, finished: number): number {
  work.day = finished;
  if (workType === 'recalibrate') fit(work, null, 'gasket set', 1, 16 + work.pump.elements.length);
  if (workType === 'recalibrate' && work.reshimmed > 0 && work.pump.model.adjuster !== 'tappet_screw') {
    fit(work, null, 'shim', work.reshimmed, 2.1);
  }
  const lines = work.rows.parts.slice(work.firstPart);
  return nearest(
    lines.reduce((sum, line) => sum + (line.cost ?? 0), 0),
    100,
  );
}
