import { DAYS_A_YEAR, textOf } from './calendar';
import { readFeatures, readingsAt, readingsOf, readingsOfAsked, type Readings } from './features';
import { placeOfAsked, placeOfRow, sameText, type Place } from './groups';
import { knownFrom, type Prepared } from './prepare';
import { extraKinds, type Asked, type Nearness, type SimilarJob } from './types';

/** The past jobs that are most like what stands on the counter. How much each feature counts is ours. */

type Part = Nearness['feature'];

const counts: Readonly<Record<Part, number>> = {
  work: 3,
  model: 1,
  kin: 1,
  complaint: 0.5,
  phasingDeg: 1,
  scatterPercent: 0.5,
  retentionDeficit: 1,
  leakSlope: 0.5,
  engineHours: 0.7,
  branch: 0.1,
};
/** What ten years count, and more count no more. */
const AGE_COUNTS = 0.5;
const OLD_YEARS = 10;
/** What was asked and is not known of a job counts as half as far apart as counts. */
const UNKNOWN = 0.5;
/** Readings so far apart on their scale (a factor of two in what is above one; a share of 0.2) count as far apart. */
const FAR: Readonly<Record<(typeof readFeatures)[number], number>> = {
  phasingDeg: Math.LN2,
  scatterPercent: Math.LN2,
  retentionDeficit: 0.2,
  engineHours: Math.LN2,
};
/** Nearer than this part of far apart two readings agree. */
const AGREES = 0.25;

const apart = (one: number, other: number, far: number): number => Math.min(1, Math.abs(one - other) / far);

/** How far a job is from what is asked in everything that is asked; NaN where it is not known of the job. */
function partsOf(
  { history }: Prepared,
  asked: Asked,
  place: Place,
  row: number,
  read: Readings,
): (readonly [Part, number])[] {
  const own = placeOfRow(history, row);
  const differs = (one: number, other: number) => (one === other && one >= 0 ? 0 : 1);
  const parts: (readonly [Part, number])[] = [
    ['work', differs(place.work, own.work)],
    ['model', differs(place.model, own.model)],
    ['kin', differs(place.elements, own.elements)],
  ];
  if (sameText(asked.complaint) !== '') {
    parts.push(['complaint', own.complaint < 0 ? NaN : differs(place.complaint, own.complaint)]);
  }
  if (sameText(asked.branch) !== '') {
    const branch = history.names.branch[history.branch[row] ?? -1];
    parts.push(['branch', branch === undefined ? NaN : Number(sameText(branch) !== sameText(asked.branch))]);
  }
  const wanted = readingsOfAsked(asked);
  readFeatures.forEach((feature, k) => {
    const value = wanted[k] ?? NaN;
    if (Number.isFinite(value)) parts.push([feature, apart(value, read[k] ?? NaN, FAR[feature])]);
  });
  const slope = asked.leakSlope;
  if (slope !== null && slope !== undefined) {
    const scaled = (value: number) => Math.log1p(Math.max(0, value));
    parts.push(['leakSlope', apart(scaled(slope), scaled(history.leakSlope[row] ?? NaN), Math.LN2)]);
  }
  return parts;
}

const known = (value: number | undefined): number | null =>
  value === undefined || !Number.isFinite(value) ? null : value;

function described(prepared: Prepared, row: number, distance: number, parts: ReturnType<typeof partsOf>): SimilarJob {
  const { history, parts: today, cost, day } = prepared;
  const name = (kind: 'serial' | 'model' | 'work' | 'complaint' | 'branch' | 'currency') =>
    history.names[kind][history[kind][row] ?? -1] ?? null;
  const finished = knownFrom(history, row);
  const received = history.received[row] ?? NaN;
  return {
    row,
    job: history.names.job[row] ?? '',
    serial: name('serial') ?? '',
    model: name('model') ?? '',
    work: name('work') ?? '',
    complaint: name('complaint'),
    branch: name('branch'),
    receivedOn: textOf(received),
    finishedOn: textOf(finished),
    yearsAgo: (day - finished) / DAYS_A_YEAR,
    distance,
    why: parts
      .filter(([, far]) => Number.isFinite(far))
      .map(([feature, far]) => ({ feature, agrees: far <= AGREES, far })),
    engineHours: known(history.engineHours[row]),
    phasingDeg: known(history.phasingDeg[row]),
    scatterPercent: known(history.scatterPercent[row]),
    retentionDeficit: known(history.retentionDeficit[row]),
    leakSlope: known(history.leakSlope[row]),
    extra: extraKinds.filter((kind) => history[kind][row] === 1),
    labourHours: known(history.labourHours[row]),
    partsCost: known(history.partsCost[row]),
    currency: name('currency'),
    partsToday: known(today[row]),
    days: finished - received,
    cost: known(cost[row]),
  };
}

/** The past jobs nearest to what is asked, nearest first; of equally near ones the later. */
export function similarJobs(prepared: Prepared, asked: Asked, count = 10): SimilarJob[] {
  const { history, day, known: rows } = prepared;
  const [place, readings] = [placeOfAsked(history, asked), readingsOf(history)];
  return rows
    .map((row) => {
      const parts = partsOf(prepared, asked, place, row, readingsAt(readings, row));
      const age = Math.min(1, (day - knownFrom(history, row)) / DAYS_A_YEAR / OLD_YEARS);
      const far = parts.map(([part, apartness]) => counts[part] * (Number.isFinite(apartness) ? apartness : UNKNOWN));
      return { row, parts, distance: far.reduce((sum, one) => sum + one, AGE_COUNTS * age) };
    })
    .sort((a, b) => a.distance - b.distance || knownFrom(history, b.row) - knownFrom(history, a.row))
    .slice(0, count)
    .map(({ row, distance, parts }) => described(prepared, row, distance, parts));
}
