import { balance, drawSteadily } from './balance';
import { dayOf, iso, LATEST_YEAR_STARTS, workday } from './calendar';
import { Faults } from './faults';
import { receiveGovernor, setGovernor } from './governing';
import type { Model } from './model';
import { models } from './models';
import { assembleStacks, receiveTiming, setTiming } from './phasing';
import { newPump, reassemble, renewBarrel, renewTappet, type Pump } from './pump';
import { dice, streams, type Dice } from './random';
import { emptyJobRows, type CleanRows, type JobTable, type Rows } from './rows';
import { sheetsOn } from './sheets';
import type { Shop, Technician } from './shop';
import type { Work } from './work';

/** Once a year the shop sends reference pumps round its benches: one of each model, read on every bench and left alone. */

/** The mornings on which a round begins, in a quiet month; the shop took it up late. */
const BEGINS = [dayOf('2024-02-05'), dayOf('2025-02-03')] as const;
/** A smaller shop keeps no pumps for it. */
const FEWEST_JOBS = 1000;
/** Pumps are carried no further, however many benches there are: the round is to be over in a week. */
const MOST_BENCHES = 5;

export interface Round {
  readonly rows: CleanRows<JobTable>;
  readonly latestYear: boolean;
}

/** What stays the same over all rounds. */
interface Means {
  readonly shop: Shop;
  readonly technician: Technician;
  readonly chance: Dice;
}

/** The rounds of a shop that does so many jobs beside them, each in the order in which its pumps came to the benches. */
export function* roundsOf(shop: Shop, faults: Faults, jobs: number, seed: number, width: number): Generator<Round> {
  if (jobs < FEWEST_JOBS) return;
  // One pair of hands for all of it, or a bench could not be told from who stands at it. They write down volumes alone.
  const technician = shop.technicians.find(({ writes_delivery }) => !writes_delivery);
  if (technician === undefined) throw new Error('Every technician writes deliveries down');
  const means: Means = { shop, technician, chance: dice(seed, streams.round) };
  const pumps = models.map((model) => referencePump(model, means));
  let cards = 0;
  for (const begins of BEGINS) {
    const rows = emptyJobRows();
    shop.benches.slice(0, MOST_BENCHES).forEach((bench, place) => {
      for (const pump of pumps) {
        cards += 1;
        const job_id = `R${String(cards).padStart(width, '0')}`;
        const work = begin(means, { job_id, pump, bench, faults, rows, day: workday(begins + place) });
        read(work);
        rows.jobs.push(cardOf(work));
      }
    });
    yield { rows, latestYear: begins >= LATEST_YEAR_STARTS };
  }
}

function begin(means: Means, work: Pick<Work, 'job_id' | 'pump' | 'bench' | 'faults' | 'rows' | 'day'>): Work {
  const sheet = sheetsOn(work.pump.model, work.day).at(-1);
  if (sheet === undefined) throw new Error(`${work.pump.model.name} has no sheet on ${iso(work.day)}`);
  const undone = { minutes: 0, benchMinutes: 0, reshimmed: 0, turned: 0, repeats: 0, firstPart: 0 };
  return { ...means, ...work, ...undone, sheet };
}

/** A pump that the shop built up new and set with care before the first round, on no card; it runs on no engine. */
function referencePump(model: Model, means: Means): Pump {
  const { shop, chance } = means;
  const serial = `${model.prefix}-REF`;
  const pump = newPump(
    { serial, model, branch: '', day: BEGINS[0], extra_drift_mm: () => 0, old_fleet: false },
    chance,
  );
  const setting = begin(means, {
    ...{ job_id: serial, pump, bench: shop.benches[0], day: BEGINS[0] },
    ...{ faults: new Faults(false, shop), rows: emptyJobRows() },
  });
  reassemble(pump, chance);
  for (const element of pump.elements) {
    renewBarrel(pump, element, chance);
    renewTappet(element, chance);
  }
  assembleStacks(setting);
  setTiming(setting);
  balance(setting, false);
  setGovernor(setting);
  return pump;
}

/** All that a bench reads of a pump as it stands: the point that stands for its delivery twice over, all else once. */
function read(work: Work): void {
  receiveTiming(work);
  for (const point of work.sheet.points) drawSteadily(work, point, point.plan.purpose === 'base' ? 2 : 1);
  receiveGovernor(work);
}

/** Nobody pays for it and nothing is promised, so hours, cost and result stay empty. */
const cardOf = ({ job_id, pump, sheet, bench, technician, day }: Work): Rows['jobs'] => ({
  job_id,
  pump_serial: pump.serial,
  pump_model: pump.model.name,
  spec_id: sheet.spec.spec_id,
  spec_revision: sheet.spec.revision,
  received_on: iso(day),
  finished_on: iso(day),
  work_type: 'test',
  warranty: false,
  complaint: null,
  technician: technician.mark,
  bench_id: bench.bench_id,
  engine_hours: null,
  bench_hours: null,
  labour_hours: null,
  parts_cost: null,
  currency: null,
  branch: null,
  stated_result: null,
  note: 'Reference pump on its round of the benches.',
});
