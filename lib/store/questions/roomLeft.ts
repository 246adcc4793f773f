import { z } from 'zod';
import { capability, type Capability, type CapabilityAnswer } from '../../stats/capability';
import { shareCovered, toleranceFactor, tolerancePlaces, type Sides } from '../../stats/toleranceInterval';
import { filterValues, ofOneModel, PICKED_JOBS, type Filters } from '../filters';
import { ONE_SIDED, roomFigures, type RoomFigure } from '../leftPlaces';
import { question } from '../question';
import { numbersOf } from './returnVisits';
import { int, maybeReal, maybeText, rate, real, text, type Rate } from './rows';

/** With fewer jobs nothing is told: NIST/SEMATECH e-Handbook 6.1.6 asks so many of the interval of Cpk (from memory). */
export const FEWEST_LEFT = 25;
/** Of all pumps to come so many, and how sure. */
export const SHARE_HELD = 0.95;
export const HELD_AT = 0.95;

/** As many figures from either end as an interval of 95 % between two of them can leave out, and one. */
const ENDS = '(n // 20 + 1)';
/** Ends are answered as whole hundred-thousandths of the band, finer than any gauge: those are sorted and written much faster. */
const FINE = 1e5;

/** Ends in parts of the band; the lower one null where only an upper one is told. */
export interface Reach {
  readonly low: number | null;
  readonly high: number;
}

export interface RoomTold {
  /** No index where all jobs left alike. */
  readonly capability: Exclude<CapabilityAnswer, { readonly kind: 'too_few' | 'no_band' }>;
  /** Where 95 of 100 such pumps lie at 95 %, if the figure is spread normally. */
  readonly reckoned: Reach;
  /** Between two of the figures seen, whatever their spread, and the share of such pumps that lies there at least, at 95 %. */
  readonly counted: Reach & { readonly share: number };
}

/** Of one model and one figure judged, in parts of its band. */
export interface RoomLeft {
  readonly pump_model: string;
  readonly figure: RoomFigure;
  readonly sides: Sides;
  readonly n: number;
  readonly mean: number;
  /** Null for one job. */
  readonly sd: number | null;
  /** How many left outside their band. */
  readonly outside: Rate;
  /** Jobs whose sheet states no tolerance, so that one was assumed. */
  readonly assumed: number;
  /** Null for fewer jobs than are told. */
  readonly told: RoomTold | null;
}

interface Figures {
  readonly n: number;
  readonly mean: number;
  readonly sd: number;
  /** The lowest and the highest figures seen, in rising order. */
  readonly lowest: readonly number[];
  readonly highest: readonly number[];
}

function toldOf({ n, mean, sd, lowest, highest }: Figures, sides: Sides): RoomTold | null {
  const found = capability({ n, mean, sd }, { low: sides === 'two' ? -1 : null, high: 1 });
  const factor = toleranceFactor(n, SHARE_HELD, HELD_AT, sides);
  if (n < FEWEST_LEFT || found.kind === 'too_few' || found.kind === 'no_band' || factor === null) return null;
  const places = tolerancePlaces(n, SHARE_HELD, HELD_AT, sides) ?? { low: sides === 'two' ? 1 : 0, high: n };
  const high = highest.at(places.high - n - 1);
  const low = sides === 'two' ? lowest[places.low - 1] : null;
  if (high === undefined || low === undefined) throw new Error('An answer lacks the ends of its figures');
  return {
    capability: found,
    reckoned: { low: sides === 'two' ? mean - factor * sd : null, high: mean + factor * sd },
    counted: { low, high, share: Math.min(SHARE_HELD, shareCovered(n, HELD_AT, sides)) },
  };
}

export type RoomOfMany = RoomLeft & { readonly told: RoomTold };
/** Whether there are jobs enough to tell it. */
export const isTold = (room: RoomLeft): room is RoomOfMany => room.told !== null;

export const cpkOf = ({ told }: RoomOfMany): Capability['cpk'] | null =>
  told.capability.kind === 'told' ? told.capability.cpk : null;

/** How far from the middle of the band, or from nothing, the figures reach as counted; 1 is the limit. */
const furthest = ({ told: { counted } }: RoomOfMany): number => Math.max(counted.high, -(counted.low ?? 0));

/** Whether that is past a limit, and not by the rounding of the answer. */
export const isPast = (room: RoomOfMany): boolean => furthest(room) > 1 + 1 / FINE;

/**
 * Where the least room is left: where surely the most left outside; then where the figures as counted reach furthest, then by Cpk. By how far they
 * reach, or by Cpk, one slip of the pen would come first: with few jobs even what is counted reaches to the furthest one.
 */
export const leastRoom = (rooms: readonly RoomOfMany[]): RoomOfMany | undefined =>
  rooms.toSorted(
    (a, b) =>
      (b.outside.low ?? 0) - (a.outside.low ?? 0) ||
      furthest(b) - furthest(a) ||
      (cpkOf(a)?.value ?? Infinity) - (cpkOf(b)?.value ?? Infinity),
  )[0];

const endsOf = (list: string | null): number[] => numbersOf(list).map((end) => end / FINE);

const row = z
  .object({
    pump_model: text,
    figure: z.enum(roomFigures),
    n: int,
    mean: real,
    sd: maybeReal,
    out: int,
    assumed: int,
    lowest: maybeText,
    highest: maybeText,
  })
  .transform(({ out, lowest, highest, ...of }): RoomLeft => {
    const sides = ONE_SIDED.has(of.figure) ? 'upper' : 'two';
    const ends = { lowest: endsOf(lowest), highest: endsOf(highest) };
    return { ...of, sides, outside: rate(out, of.n), told: toldOf({ ...of, ...ends, sd: of.sd ?? NaN }, sides) };
  });

/**
 * How much of its band each figure judged takes up as pumps leave, by model: one figure a job, of its last run after assembly. Rounds of the
 * benches are left out, as they are the same few pumps over and over.
 */
export const roomLeft = question<Filters, RoomLeft>(
  'roomLeft',
  row,
  filterValues,
  `with ${PICKED_JOBS},
  seen as (
    select p.pump_model, l.figure, count(*)::integer as n, avg(l.place)::double as mean, stddev_samp(l.place)::double as sd,
      (count(*) filter (l.is_out))::integer as out, (count(*) filter (l.is_assumed))::integer as assumed,
      list_sort(list((${FINE} * l.place)::bigint)) as places
    from left_places l join picked p using (job_no) where not p.in_round group by p.pump_model, l.figure
  )
  select * exclude (places), array_to_string(places[:${ENDS}], ' ') as lowest, array_to_string(places[-${ENDS}:], ' ') as highest
  from seen order by list_position([${roomFigures.map((name) => `'${name}'`).join(', ')}], figure), pump_model`,
  ofOneModel,
);
