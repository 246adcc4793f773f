import { nearest, type Rows } from './rows';
import type { Check } from './sheets';
import { givesUp, spend, type Verdict, type Work } from './work';

function truth(work: Work, check: Check): number {
  const { pump } = work;
  const off = {
    stop: pump.stop_mm,
    torque_control: pump.stop_mm,
    breakaway: pump.breakaway_rpm,
    cut_off: 1.1 * pump.breakaway_rpm,
    idle: pump.idle_mm,
    boost: pump.boost_mm,
  };
  return check.centre + off[check.kind];
}

/** One reading of each check; says which kinds were out. */
function read(work: Work, run: number): Set<Check['kind']> {
  const out = new Set<Check['kind']>();
  for (const check of work.sheet.checks) {
    const { row } = check;
    const inRpm = row.unit === 'rpm';
    const value = nearest(truth(work, check) + work.chance.normal(0, inRpm ? 1.5 : 0.02), inRpm ? 1 : 20);
    const nominal = row.speed_rpm ?? 0;
    const reading: Rows['governor'] = {
      job_id: work.job_id,
      run,
      check_id: row.check_id,
      speed_rpm: inRpm ? value : nearest(nominal + work.chance.normal(0, 2), 1),
      rack_mm: inRpm ? null : value,
      boost_kpa:
        row.boost_kpa === null || row.boost_kpa === undefined
          ? null
          : nearest(Math.max(0, row.boost_kpa + (row.boost_kpa === 0 ? 0 : work.chance.normal(0, 0.8))), 1),
      lever: row.lever,
    };
    work.rows.governor.push(reading);
    if (value < row.low || value > row.high) out.add(check.kind);
    spend(work, 3);
  }
  return out;
}

function adjust(work: Work, out: ReadonlySet<Check['kind']>): void {
  const { pump, chance } = work;
  const { hand } = work.technician;
  if (out.has('stop') || out.has('torque_control')) pump.stop_mm = chance.normal(0, 0.04) * hand;
  if (out.has('breakaway') || out.has('cut_off')) pump.breakaway_rpm = chance.normal(0, 5) * hand;
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
