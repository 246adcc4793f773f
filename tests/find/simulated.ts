import { namedColumns, type History, type NamedColumn } from '../../lib/find/history';
import { seededChance, type Chance } from '../../lib/stats/shuffle';

/** A shop's history drawn at the level of the search's input: a few milliseconds a log, so that hundreds can be searched. */

export interface ShopSettings {
  readonly jobs: number;
  readonly seed: number;
  /** How far people, benches and branches differ in truth, as part of what matters (0: not at all; 0.5: all that any shop has). */
  readonly unlike?: number;
  readonly fault?: Fault;
  /** Share of one branch's jobs that are done on bench B2 whatever else; without it every bench works for all branches alike. */
  readonly tied?: number;
}

export type Fault =
  | { readonly kind: 'bench'; readonly percent: number }
  | { readonly kind: 'element'; readonly deg: number }
  | { readonly kind: 'branch'; readonly share: number }
  /** Test points out at first on one bench; returns of one branch; lost at low speed by one model of one branch. */
  | { readonly kind: 'points'; readonly share: number }
  | { readonly kind: 'returns'; readonly share: number }
  | { readonly kind: 'wear'; readonly deficit: number }
  /** Timing out at first with one complaint; test points out in winter; the governor out at first on one bench. */
  | { readonly kind: 'complaint'; readonly share: number }
  | { readonly kind: 'season'; readonly share: number }
  | { readonly kind: 'governor'; readonly share: number }
  /** A gauge used past its date; stacks of one batch thicker than marked; a sheet superseded at one branch; changes the wrong way on one bench. */
  | { readonly kind: 'gauge'; readonly share: number }
  | { readonly kind: 'batch'; readonly mm: number }
  | { readonly kind: 'superseded'; readonly share: number }
  | { readonly kind: 'wrong way'; readonly share: number }
  /** Hours on the bench that one branch's jobs take more. */
  | { readonly kind: 'hours'; readonly hours: number };

const names: Readonly<Record<NamedColumn, readonly string[]>> = {
  model: ['Heron', 'Kestrel', 'Plover', 'Dunlin', 'Curlew'],
  work: ['rebuild', 'recalibrate', 'test'],
  complaint: ['due by hours', 'hunting at idle', 'knock', 'leaks', 'low power', 'smoke under load'],
  bench: ['B1', 'B2', 'B3'],
  branch: ['Millrace', 'Northgate', 'Saltmarsh', 'Tannery'],
  technician: ['T1', 'T2', 'T3', 'T4', 'T5', 'T6'],
  batch: Array.from({ length: 24 }, (_, k) => `S${k}`),
  gauge: ['DG-1', 'DG-2', 'DG-3', 'GR-1', 'GR-2', 'GR-3'],
  currency: ['EUR'],
};
const ELEMENTS = 4;
const YEARS = 8;
const DAYS = Math.round(YEARS * 365.25);
const FIRST_DAY = 17_532;

const DAY_MS = 86_400_000;

function sizeOf(fault: Fault): number {
  if ('share' in fault) return fault.share;
  if ('percent' in fault) return fault.percent;
  if ('deg' in fault) return fault.deg;
  if ('mm' in fault) return fault.mm;
  return 'deficit' in fault ? fault.deficit : fault.hours;
}

function normal(chance: Chance): number {
  return Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance());
}

export function simulateHistory({ jobs: n, seed, unlike = 0, fault, tied }: ShopSettings): History {
  const chance = seededChance(seed);
  for (let k = 0; k < 50; k += 1) chance();
  const whole = (below: number): number => Math.floor(chance() * below);
  const blank = (): Int32Array => new Int32Array(n).fill(-1);
  const real = (): Float64Array => new Float64Array(n).fill(Number.NaN);
  const jobs = {
    job_no: Int32Array.from({ length: n }, (_, i) => i),
    day: Int32Array.from({ length: n }, (_, i) => FIRST_DAY + Math.floor((i * DAYS) / n)),
    ...Object.fromEntries(
      ['serial', 'model', 'work', 'complaint', 'bench', 'branch', 'technician'].map((c) => [c, blank()]),
    ),
    ...Object.fromEntries(['gauge', 'batch', 'timing_fails', 'point_fails', 'governor_fails'].map((c) => [c, blank()])),
    ...Object.fromEntries(['returns', 'wrong_way', 'superseded', 'currency'].map((c) => [c, blank()])),
    ...Object.fromEntries(['delivery_percent', 'bench_hours', 'labour_hours', 'parts_cost'].map((c) => [c, real()])),
  } as unknown as History['jobs'];
  /** What each bench, branch and technician is off by, from -1 to 1: half of what matters where `unlike` is 0.5. */
  const own = (count: number): number[] => Array.from({ length: count }, () => unlike * (2 * chance() - 1));
  const ofBench = own(names.bench.length);
  const ofBranch = own(names.branch.length);
  const ofTechnician = own(names.technician.length);
  const pumps = Math.ceil(n / 3);
  const kinds = Array.from({ length: pumps }, () => ({
    model: whole(names.model.length),
    branch: whole(names.branch.length),
    worn: normal(chance),
    elements: Array.from({ length: ELEMENTS }, () => normal(chance)),
  }));
  const rows = {
    element: [] as number[][],
    retention: [] as number[][],
    change: [] as number[][],
    use: [] as number[][],
  };
  for (let i = 0; i < n; i += 1) {
    const serial = whole(pumps);
    const pump = kinds[serial];
    if (pump === undefined) continue;
    const [anyBench, technician, work] = [whole(3), whole(6), whole(3)];
    const bench = tied !== undefined && pump.branch === 2 && chance() < tied ? 1 : anyBench;
    const complaint = whole(names.complaint.length);
    const batch = Math.floor((i * names.batch.length) / n);
    const people = ofTechnician[technician] ?? 0;
    const place = ofBench[bench] ?? 0;
    const home = ofBranch[pump.branch] ?? 0;
    const late = i > n / 2;
    /** What a fault adds to a figure where it holds. */
    const added = (kind: Fault['kind'], holds: boolean): number => (fault?.kind === kind && holds ? sizeOf(fault) : 0);
    const [third, faulty] = [pump.branch === 2, pump.branch === 2 && pump.model === 0];
    const winter = [11, 0, 1].includes(new Date((jobs.day[i] ?? 0) * DAY_MS).getUTCMonth());
    const happens = (share: number) => Number(chance() < Math.max(0.002, share));
    jobs.serial[i] = serial;
    jobs.model[i] = pump.model;
    jobs.work[i] = work;
    jobs.complaint[i] = complaint;
    jobs.bench[i] = bench;
    jobs.branch[i] = pump.branch;
    jobs.technician[i] = technician;
    jobs.gauge[i] = 3 + bench;
    jobs.batch[i] = batch;
    jobs.timing_fails[i] = happens(
      0.12 +
        0.05 * pump.model +
        0.05 * people +
        0.05 * home +
        added('branch', faulty) +
        added('complaint', complaint === 3),
    );
    jobs.point_fails[i] = happens(
      0.2 + 0.05 * pump.model + 0.05 * people + 0.05 * place + added('points', bench === 1) + added('season', winter),
    );
    jobs.governor_fails[i] = happens(0.1 + 0.05 * people + added('governor', bench === 1));
    jobs.returns[i] = happens(0.08 + 0.02 * home + added('returns', third));
    jobs.wrong_way[i] = chance() < 0.25 ? happens(0.004 + added('wrong way', bench === 1)) : -1;
    jobs.superseded[i] = happens(0.004 + added('superseded', third));
    jobs.delivery_percent[i] =
      work === 0
        ? Number.NaN
        : -2 + pump.worn + 2.5 * normal(chance) + 0.5 * place + added('bench', bench === 1 && late);
    jobs.bench_hours[i] = 2 + work + 0.4 * Math.exp(0.5 * normal(chance)) + 0.3 * people + added('hours', third);
    jobs.labour_hours[i] = 3 * (3 - work) + Math.exp(0.5 * normal(chance));
    for (let element = 1; element <= ELEMENTS; element += 1) {
      const lasting = pump.elements[element - 1] ?? 0;
      const shift = added('element', pump.model === 0 && element === 3);
      rows.element.push([i, element, element === 1 ? 0 : 0.2 * lasting + 0.25 * normal(chance) + shift]);
      if (work > 0)
        rows.retention.push([
          i,
          element,
          0.04 + 0.03 * Math.abs(pump.worn) + 0.015 * normal(chance) + 0.01 * home + added('wear', faulty),
        ]);
    }
    if (chance() < 0.5)
      rows.change.push([i, 2 + whole(3), batch, 0.035 * normal(chance) + 0.008 * place + added('batch', batch === 10)]);
    rows.use.push([i, bench, happens(0.003 + added('gauge', bench === 1))], [i, 3 + bench, happens(0.003)]);
  }
  const column = (from: readonly number[][], k: number): Int32Array => Int32Array.from(from, (row) => row[k] ?? 0);
  const reading = (from: readonly number[][], k: number): Float64Array => Float64Array.from(from, (row) => row[k] ?? 0);
  return {
    names: Object.fromEntries(namedColumns.map((c) => [c, names[c]])) as History['names'],
    jobs,
    elements: { job: column(rows.element, 0), element: column(rows.element, 1), error_deg: reading(rows.element, 2) },
    retentions: {
      job: column(rows.retention, 0),
      element: column(rows.retention, 1),
      deficit: reading(rows.retention, 2),
    },
    changes: {
      job: column(rows.change, 0),
      element: column(rows.change, 1),
      batch: column(rows.change, 2),
      excess_mm: reading(rows.change, 3),
    },
    uses: { job: column(rows.use, 0), gauge: column(rows.use, 1), past: column(rows.use, 2) },
  };
}
