import type { JobParts } from './parts';
import type { Moved, Step } from './record';
import { byKeys, num, txt, type Row } from './rows';

/** What was moved, and in which order the work was done, as far as the log tells. */

const planned = (rows: readonly Row[], row: Row, column: string): number | null =>
  num(
    rows.find((each) => num(each, 'run') === num(row, 'run') && num(each, 'element') === num(row, 'element')),
    column,
  );

const place = (row: Row) => ({ file: txt(row, 'file') ?? '', row_no: num(row, 'row_no') ?? 0 });
const spot = (row: Row) => ({ run: num(row, 'run') ?? -1, element: num(row, 'element') ?? 0 });

const shimsMoved = ({ readings, results }: JobParts): readonly Moved[] =>
  readings.shims.map((row) => ({
    what: 'shims',
    ...spot(row),
    before: num(row, 'before_mm'),
    before_second: num(row, 'before_second_mm'),
    after: num(row, 'after_mm'),
    after_second: num(row, 'after_second_mm'),
    change: planned(results.phasing, row, 'made_mm'),
    planned: planned(results.phasing, row, 'plan_mm'),
    stated: num(row, 'stated_change_mm'),
    unit: 'shim_fine',
    ...place(row),
  }));

const barrelsTurned = ({ readings, results }: JobParts): readonly Moved[] =>
  readings.barrels.map((row) => ({
    what: 'barrel',
    ...spot(row),
    before: null,
    before_second: null,
    after: null,
    after_second: null,
    change: num(row, 'rotation_deg'),
    planned: planned(results.rotations, row, 'planned_deg'),
    stated: null,
    unit: 'deg',
    ...place(row),
  }));

export const movedParts = (parts: JobParts): readonly Moved[] => [...shimsMoved(parts), ...barrelsTurned(parts)];

type Held = Omit<Step, 'known_by'> & { readonly order: number };

function gathered(rows: readonly Row[], what: Step['what'], order: (row: Row) => number): readonly Held[] {
  const steps = new Map<string, Held>();
  for (const row of rows) {
    const test_point = what === 'test point drawn' ? txt(row, 'test_point') : null;
    const run = num(row, 'run') ?? -1;
    const key = JSON.stringify([run, test_point]);
    const taken = txt(row, 'taken_at');
    const known = steps.get(key);
    steps.set(key, {
      run,
      what,
      test_point,
      rows: (known?.rows ?? 0) + 1,
      from: earlier(known?.from ?? null, taken),
      to: later(known?.to ?? null, taken),
      order: order(row),
    });
  }
  return [...steps.values()];
}

const earlier = (one: string | null, other: string | null): string | null =>
  one === null || (other !== null && other < one) ? other : one;
const later = (one: string | null, other: string | null): string | null =>
  one === null || (other !== null && other > one) ? other : one;

/** What is done in a run, in the order of the trade: a change belongs to the measurement before it. */
const places: readonly Step['what'][] = [
  'closures read',
  'shims changed',
  'test point drawn',
  'barrels turned',
  'governor read',
];

const isChange = (row: Row): boolean => num(row, 'after_mm') !== null || num(row, 'after_second_mm') !== null;

/**
 * The steps of the work run by run. Within a run test points stand by the times written down where each has one, else in the order of work
 * of the sheet; the other steps carry no time, and their place is that of the trade.
 */
export function stepsOf({ readings, spec }: JobParts): readonly Step[] {
  const orders = new Map(spec.test_points.map((row) => [txt(row, 'test_point'), num(row, 'order') ?? Infinity]));
  const drawn = gathered(readings.draws, 'test point drawn', (row) => orders.get(txt(row, 'test_point')) ?? Infinity);
  const timed = new Map<number, boolean>();
  for (const { run, from } of drawn) timed.set(run, (timed.get(run) ?? true) && from !== null);
  const byTime = ({ what, run }: Held): boolean => what === 'test point drawn' && timed.get(run) === true;
  const none = (): number => 0;
  return [
    ...gathered(readings.closures, 'closures read', none),
    ...gathered(readings.shims.filter(isChange), 'shims changed', none),
    ...drawn,
    ...gathered(readings.barrels, 'barrels turned', none),
    ...gathered(readings.governor, 'governor read', none),
  ]
    .toSorted(
      byKeys((step) => [
        step.run,
        places.indexOf(step.what),
        byTime(step) ? step.from : null,
        step.order,
        step.test_point,
      ]),
    )
    .map((step) => ({
      run: step.run,
      what: step.what,
      test_point: step.test_point,
      rows: step.rows,
      from: step.from,
      to: step.to,
      known_by: byTime(step) ? 'time written down' : 'run and order of work',
    }));
}
