import { DAYS, LATEST_YEAR_STARTS, workday } from './calendar';
import { Faults } from './faults';
import { doJob } from './job';
import { models } from './models';
import { newPump, runFor, type Pump } from './pump';
import { dice, streams } from './random';
import { roundsOf } from './round';
import { emptyJobRows, type CleanRows, type JobTable } from './rows';
import { OLD_FLEET_BRANCH, openShop, type Shop } from './shop';

export interface SimulationOptions {
  /** Jobs that pumps came in for; those of the rounds of the benches are besides. */
  readonly jobs: number;
  readonly seed: number;
  /** Whether the planted faults are in; without them the shop is sound. */
  readonly faults?: boolean;
}

/** Some jobs in a row, all of them of the latest year or none. */
export interface Chunk {
  readonly rows: CleanRows<JobTable>;
  readonly latestYear: boolean;
}

export interface Simulation {
  readonly shop: Shop;
  readonly faults: Faults;
  readonly chunks: () => Generator<Chunk>;
  /** The rounds of the reference pumps, a chunk each. */
  readonly rounds: () => Generator<Chunk>;
}

const CHUNK = 500;

/** The day on which job number `k` of `jobs` came in: a little more trade every year, and more in spring and autumn. */
function dayOfJob(k: number, jobs: number): number {
  const even = ((k + 0.5) / jobs) ** 0.94 * DAYS;
  const day = even + 14 * Math.sin((4 * Math.PI * even) / 365.25);
  return workday(Math.max(0, Math.min(DAYS - 1, Math.floor(day))));
}

/** Pumps that are out, soonest back first: a binary heap. */
class Returns {
  private readonly heap: { day: number; pump: Pump }[] = [];

  private dayAt = (i: number): number => this.heap[i]?.day ?? Infinity;

  private swap(a: number, b: number): void {
    const [first, second] = [this.heap[a], this.heap[b]];
    if (first === undefined || second === undefined) return;
    this.heap[a] = second;
    this.heap[b] = first;
  }

  add(day: number, pump: Pump): void {
    this.heap.push({ day, pump });
    let i = this.heap.length - 1;
    while (i > 0) {
      const parent = (i - 1) >> 1;
      if (this.dayAt(parent) <= this.dayAt(i)) break;
      this.swap(parent, i);
      i = parent;
    }
  }

  /** The pump that is due back by `day`, if there is one. */
  takeDue(day: number): Pump | null {
    if (this.dayAt(0) > day) return null;
    this.swap(0, this.heap.length - 1);
    const due = this.heap.pop();
    let i = 0;
    for (;;) {
      const left = 2 * i + 1;
      const child = this.dayAt(left + 1) < this.dayAt(left) ? left + 1 : left;
      if (this.dayAt(child) >= this.dayAt(i)) break;
      this.swap(i, child);
      i = child;
    }
    return due?.pump ?? null;
  }
}

/** Runs the shop for eight years, from 2018 to 2025, job by job in the order in which they came in. */
export function simulate({ jobs, seed, faults: planted = true }: SimulationOptions): Simulation {
  const shop = openShop(jobs, seed, planted);
  const faults = new Faults(planted, shop);
  const width = Math.max(5, String(jobs).length);

  function* chunks(): Generator<Chunk> {
    const returns = new Returns();
    let pumps = 0;
    let rows = emptyJobRows();
    let latestYear = false;
    for (let k = 0; k < jobs; k += 1) {
      const received = dayOfJob(k, jobs);
      const nowLatest = received >= LATEST_YEAR_STARTS;
      if (rows.jobs.length >= CHUNK || (nowLatest !== latestYear && rows.jobs.length > 0)) {
        yield { rows, latestYear };
        rows = emptyJobRows();
      }
      latestYear = nowLatest;
      const job_id = `J${String(k + 1).padStart(width, '0')}`;
      let pump = returns.takeDue(received);
      const chance = dice(seed, streams.job, k);
      if (pump === null) {
        pumps += 1;
        pump = firstSeen(shop, faults, pumps, received, seed);
      } else {
        runFor(pump, pump.hours_a_day * Math.max(1, received - pump.last_day), chance);
      }
      const { finished } = doJob({ job_id, pump, received, shop, faults, chance, rows });
      // A pump that went out wrong comes back soon; three in ten are never seen again.
      if (finished !== null && chance.chance(pump.left_out ? 0.85 : 0.7)) {
        returns.add(finished + 20 + Math.round(chance.weibull(1.6, pump.left_out ? 260 : 800)), pump);
      }
    }
    yield { rows, latestYear };
  }

  return { shop, faults, chunks, rounds: () => roundsOf(shop, faults, jobs, seed, width) };
}

function firstSeen(shop: Shop, faults: Faults, number: number, day: number, seed: number): Pump {
  const chance = dice(seed, streams.pump, number);
  const model = chance.weighted(models, ({ share }) => share);
  // The old fleet's branch sees more of its kind than the others do.
  const branch = chance.weighted(shop.branches, (name) =>
    name === OLD_FLEET_BRANCH && model.name === 'Dunlin' ? 2 : name === OLD_FLEET_BRANCH ? 0.7 : 1,
  );
  return newPump(
    {
      serial: `${model.prefix}-${String(10000 + number)}`,
      model,
      branch,
      day,
      extra_drift_mm: faults.extraDrift(model.name),
      old_fleet: faults.isOldFleet(model.name, branch, chance),
    },
    chance,
  );
}
