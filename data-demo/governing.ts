import { nearest, type Rows } from './rows';
import { breakawayRpm, cutOffRpm, type Check } from './sheets';
import { givesUp, spend, type Verdict, type Work } from './work';

type Reading = Rows['governor'];

/** How far breakaway and cut-off truly are from the middle of their bands [rpm]: the cut-off moves a little further. */
const breakawayOff = (work: Work): number => work.pump.breakaway_rpm;
const cutOffOff = (work: Work): number => 1.1 * work.pump.breakaway_rpm;

function truth(work: Work, check: Check): number {
  const { pump } = work;
  const off = {
    stop: pump.stop_mm,
    torque_control: pump.stop_mm,
    breakaway: breakawayOff(work),
    cut_off: cutOffOff(work),
    droop: (100 * cutOffOff(work)) / pump.model.rated_rpm,
    idle: pump.idle_mm,
    boost: pump.boost_mm,
  };
  return check.centre + off[check.kind];
}

/** A reading without figures yet. */
const blank = (work: Work, run: number, { row }: Check): Reading => ({
  job_id: work.job_id,
  run,
  check_id: row.check_id,
  speed_rpm: null,
  rack_mm: null,
  boost_kpa: null,
  lever: row.lever,
});

/** One reading where the band holds; the value read. */
function readOnce(work: Work, run: number, check: Check): number {
  const { row } = check;
  const { chance } = work;
  const inRpm = row.unit === 'rpm';
  const value = nearest(truth(work, check) + chance.normal(0, inRpm ? 1.5 : 0.02), inRpm ? 1 : 20);
  work.rows.governor.push({
    ...blank(work, run, check),
    speed_rpm: inRpm ? value : nearest((row.speed_rpm ?? 0) + chance.normal(0, 1.2), 1),
    rack_mm: inRpm ? null : value,
    boost_kpa:
      row.boost_kpa === null || row.boost_kpa === undefined
        ? null
        : nearest(Math.max(0, row.boost_kpa + (row.boost_kpa === 0 ? 0 : chance.normal(0, 0.6))), 1),
  });
  spend(work, 3);
  return value;
}

/** Rack behind the point of no delivery where the governor comes to rest [mm]. */
const REST_MM = 0.8;

/** Rack [mm] at a speed [rpm], the lever at full: on the stop, then down a straight line as the weights fly out, then at rest. */
function runOut(work: Work, rpm: number): number {
  const { pump, sheet } = work;
  const from = breakawayRpm(pump.model) + breakawayOff(work);
  const until = cutOffRpm(pump.model) + cutOffOff(work);
  const stop = sheet.revision.full_rack_mm + pump.stop_mm;
  const rest = pump.model.rack_zero_mm - REST_MM;
  return stop - (stop - rest) * Math.min(1, Math.max(0, (rpm - from) / (until - from)));
}

const SWEEP = 8;
const STEP_RPM = 10;
/** Readings of a sweep before the corner that it is made for. */
const BEFORE = 4;
/** Fall of the rack that shows; a fall smaller than this may be play. */
const FALL_MM = 0.1;

interface Point {
  readonly speed_rpm: number;
  readonly rack_mm: number;
}

/** A sweep past one corner of the run-out, in even steps: the technician has seen by the rack where it lies. */
function sweep(work: Work, corner: number): Point[] {
  const { chance } = work;
  const first = nearest(corner + chance.normal(0, 2), 1 / STEP_RPM) - BEFORE * STEP_RPM;
  return Array.from({ length: SWEEP }, (_, k) => {
    // The tachometer is read within a rpm or so, and steps stay apart.
    const rpm = first + k * STEP_RPM + Math.max(-4, Math.min(4, chance.normal(0, 1)));
    return { speed_rpm: nearest(rpm, 1), rack_mm: nearest(runOut(work, rpm) + chance.normal(0, 0.012), 50) };
  });
}

/** Speed at which the rack comes down through `level` [mm], drawn straight between two readings. */
function speedAt(points: readonly Point[], level: number): number {
  const next = points.findIndex(({ rack_mm }) => rack_mm <= level);
  const [a, b] = [points[next - 1], points[next]];
  if (a === undefined || b === undefined) throw new Error(`The rack does not come down through ${level} mm`);
  return a.speed_rpm + ((b.speed_rpm - a.speed_rpm) * (a.rack_mm - level)) / (a.rack_mm - b.rack_mm);
}

/** What a technician makes of a sweep on squared paper, in the unit of the check. */
function reckon(work: Work, { kind }: Check, points: readonly Point[]): number {
  const racks = points.map(({ rack_mm }) => rack_mm);
  if (kind === 'breakaway') return speedAt(points, ((racks[0] ?? 0) + (racks[1] ?? 0)) / 2 - FALL_MM);
  const noLoad = speedAt(points, Math.min(...racks) + FALL_MM);
  const rated = work.pump.model.rated_rpm;
  return kind === 'droop' ? (100 * (noLoad - rated)) / rated : noLoad;
}

/** A sweep of readings; the value that it shows. */
function readSweep(work: Work, run: number, check: Check): number {
  const corner =
    check.kind === 'breakaway'
      ? breakawayRpm(work.pump.model) + breakawayOff(work)
      : cutOffRpm(work.pump.model) + cutOffOff(work);
  const points = sweep(work, corner);
  for (const point of points) work.rows.governor.push({ ...blank(work, run, check), ...point });
  spend(work, 5);
  return reckon(work, check, points);
}

const isSwept = (work: Work, { kind }: Check): boolean =>
  work.pump.model.run_out && (kind === 'breakaway' || kind === 'cut_off' || kind === 'droop');

/** Reads each check; says which kinds were out. */
function read(work: Work, run: number): Set<Check['kind']> {
  const out = new Set<Check['kind']>();
  for (const check of work.sheet.checks) {
    const value = isSwept(work, check) ? readSweep(work, run, check) : readOnce(work, run, check);
    if (value < check.row.low || value > check.row.high) out.add(check.kind);
  }
  return out;
}

function adjust(work: Work, out: ReadonlySet<Check['kind']>): void {
  const { pump, chance } = work;
  const { hand } = work.technician;
  const governed = out.has('breakaway') || out.has('cut_off') || out.has('droop');
  if (out.has('stop') || out.has('torque_control')) pump.stop_mm = chance.normal(0, 0.04) * hand;
  if (governed) pump.breakaway_rpm = chance.normal(0, 5) * hand;
  if (out.has('idle')) pump.idle_mm = chance.normal(0, 0.06) * hand;
  if (out.has('boost')) pump.boost_mm = chance.normal(0, 0.06) * hand;
  spend(work, 8 * out.size);
}

export function receiveGovernor(work: Work): { verdict: Verdict; correct: () => void } {
  const out = read(work, 0);
  return {
    verdict: out.size === 0 ? 'in' : 'out',
    correct: () => {
      adjust(work, out);
    },
  };
}

export function setGovernor(work: Work): Verdict {
  for (let run = 1; ; run += 1) {
    const out = read(work, run);
    if (out.size === 0) return 'in';
    if (givesUp(work, run)) return 'out';
    adjust(work, out);
    work.repeats += 1;
  }
}
