import type { Column } from '../lib/log/table';
import { tables } from '../lib/log/tables';
import { models } from './models';
import type { Dice } from './random';
import { jobTables, nearest, type Cell, type JobTable, type ShopTable, type WrittenRow } from './rows';
import type { BadKind } from './truths';

/** A bad row of one batch of rows: which one it is, counted from 0, and why it can't be taken. */
export interface Spoilt {
  readonly table: ShopTable;
  readonly index: number;
  readonly kind: BadKind;
  readonly column: string | null;
  readonly value: string | number | null;
}

export interface Spoiled {
  readonly rows: Readonly<Record<JobTable, readonly WrittenRow[]>>;
  readonly spoilt: readonly Spoilt[];
  /** How many rows of each table came from the jobs; those after them were added to be bad, or to make another row so. */
  readonly own: Readonly<Record<JobTable, number>>;
}

/** Some jobs in a row with their readings, still clean. */
export interface Piece {
  readonly rows: Readonly<Record<JobTable, readonly WrittenRow[]>>;
  readonly latestYear: boolean;
}

type Rows = Record<JobTable, WrittenRow[]>;
type Reading = Exclude<JobTable, 'jobs'>;

/** Part of the readings that are spoilt for typed files, and of the rest for text. */
const PART_TYPED = 0.0011;
const PART_TEXT = 0.0012;
/** How often a piece of an earlier year has a card that can't be taken, so that all readings of its job go with it. */
const PART_LOST = 0.3;

const readings = ['closures', 'shims', 'draws', 'barrels', 'governor', 'parts'] as const;
const elementsOf = new Map(models.map((model) => [model.name, model.firing_order.length]));

export const unspoilt = ({ rows }: Piece): Spoiled => ({
  rows,
  spoilt: [],
  own: {
    jobs: rows.jobs.length,
    closures: rows.closures.length,
    shims: rows.shims.length,
    draws: rows.draws.length,
    barrels: rows.barrels.length,
    governor: rows.governor.length,
    parts: rows.parts.length,
  },
});

/** What a typed file can carry: a number out of its range, a missing cell, a reference that leads nowhere, a row twice. */
export function spoilTyped(piece: Piece, chance: Dice): Spoiled {
  const rows = copy(piece.rows);
  const { own } = unspoilt(piece);
  const spoilt: Spoilt[] = [];
  const lost = piece.latestYear || chance.chance(PART_LOST) ? loseCard(rows, spoilt, chance) : null;
  for (const table of readings) {
    for (let index = 0; index < own[table]; index += 1) {
      if (!chance.chance(PART_TYPED)) continue;
      const row = rows[table][index];
      if (row === undefined || row['job_id'] === lost) continue;
      spoilReading(rows, table, index, row, spoilt, chance);
    }
  }
  // The latest year, which is also written as CSV, has a card of every kind.
  const cards = typedCards.filter(() => piece.latestYear || chance.chance(0.35));
  for (const slip of cards) spoilt.push(addCard(rows, piece.rows.jobs, slip, chance));
  if (piece.latestYear || chance.chance(0.35)) doubleCards(rows, piece.rows.jobs, lost, spoilt, chance);
  return { rows, spoilt: inOrder(spoilt), own };
}

/** What only text can carry: a comma in a number, a word for one, a date written another way. Bad rows stay as they are. */
export function spoilText(before: Spoiled, chance: Dice): Spoiled {
  const rows = copy(before.rows);
  const spoilt = [...before.spoilt];
  const taken = new Set(before.spoilt.map(({ table, index }) => `${table} ${index}`));
  for (const table of readings) {
    const columns = tables[table].columns;
    rows[table].forEach((row, index) => {
      if (index >= before.own[table] || !chance.chance(PART_TEXT) || taken.has(`${table} ${index}`)) return;
      const filled = columns.filter((column) => textSlips(column, row[column.name]).length > 0);
      const [first, ...rest] = filled;
      if (first === undefined) return;
      const column = chance.pick([first, ...rest]);
      const [slip, ...others] = textSlips(column, row[column.name]);
      if (slip === undefined) return;
      const { kind, value } = chance.pick([slip, ...others]);
      rows[table][index] = { ...row, [column.name]: value };
      spoilt.push({ table, index, kind, column: column.name, value });
    });
  }
  // A card that is bad already would be refused for that, and not for the slip that is added here.
  const cards = before.rows.jobs.filter((_, index) => !taken.has(`jobs ${index}`));
  for (const slip of textCards) spoilt.push(addCard(rows, cards, slip, chance));
  return { rows, spoilt: inOrder(spoilt), own: before.own };
}

const copy = (rows: Readonly<Record<JobTable, readonly WrittenRow[]>>): Rows => ({
  jobs: [...rows.jobs],
  closures: [...rows.closures],
  shims: [...rows.shims],
  draws: [...rows.draws],
  barrels: [...rows.barrels],
  governor: [...rows.governor],
  parts: [...rows.parts],
});

const inOrder = (spoilt: readonly Spoilt[]): Spoilt[] => {
  const order = new Map<ShopTable, number>(jobTables.map((table, i) => [table, i]));
  return [...spoilt].sort((a, b) => (order.get(a.table) ?? 0) - (order.get(b.table) ?? 0) || a.index - b.index);
};

/** A card names a revision that nobody has: the card is set aside, and with it every reading of the job. */
function loseCard(rows: Rows, spoilt: Spoilt[], chance: Dice): Cell {
  const index = chance.whole(0, rows.jobs.length - 1);
  const row = rows.jobs[index];
  if (row === undefined) return null;
  rows.jobs[index] = { ...row, spec_revision: 'Z' };
  spoilt.push({ table: 'jobs', index, kind: 'noCounterpart', column: 'spec_revision', value: 'Z' });
  for (const table of readings) {
    rows[table].forEach((reading, at) => {
      if (reading['job_id'] !== row['job_id']) return;
      spoilt.push({ table, index: at, kind: 'counterpartSetAside', column: null, value: null });
    });
  }
  return row['job_id'];
}

type Change = Readonly<Record<string, string | number | null>>;

/** A slip on a card: what is changed, for which reason it can't be taken, and the column that says so. */
interface CardSlip {
  readonly change: Change;
  readonly kind: BadKind;
  readonly column: string;
}

const typedCards: readonly [CardSlip, ...CardSlip[]] = [
  { change: { pump_serial: null }, kind: 'missing', column: 'pump_serial' },
  { change: { received_on: '1900-01-01' }, kind: 'dateOutside', column: 'received_on' },
  { change: { work_type: 'overhaul' }, kind: 'notChoice', column: 'work_type' },
  { change: { labour_hours: -4 }, kind: 'outside', column: 'labour_hours' },
  { change: { spec_revision: 'draft' }, kind: 'noCounterpart', column: 'spec_revision' },
];

const textCards: readonly [CardSlip, ...CardSlip[]] = [
  { change: { received_on: '31/12/2024' }, kind: 'notDate', column: 'received_on' },
  { change: { finished_on: '2024-13-40' }, kind: 'notDate', column: 'finished_on' },
  { change: { labour_hours: '12,5' }, kind: 'decimalComma', column: 'labour_hours' },
  { change: { engine_hours: 'abc' }, kind: 'notNumber', column: 'engine_hours' },
  { change: { warranty: 'maybe' }, kind: 'notYesNo', column: 'warranty' },
];

/** Cards are added, not spoilt: a card that can't be taken would take its readings with it. */
function addCard(rows: Rows, from: readonly WrittenRow[], slip: CardSlip, chance: Dice): Spoilt {
  const row = from[chance.whole(0, from.length - 1)] ?? {};
  const index = rows.jobs.push({ ...row, job_id: `X${rows.jobs.length}-${String(row['job_id'])}`, ...slip.change }) - 1;
  return { table: 'jobs', index, kind: slip.kind, column: slip.column, value: slip.change[slip.column] ?? null };
}

/** One card stands twice, another was written again: in both cases the earlier one is set aside. */
function doubleCards(rows: Rows, from: readonly WrittenRow[], lost: Cell, spoilt: Spoilt[], chance: Dice): void {
  const first = chance.whole(0, Math.max(0, from.length - 2));
  [{}, { note: 'Card written again.' }].forEach((change, i) => {
    const row = from[first + i];
    if (row === undefined || row['job_id'] === lost) return;
    rows.jobs.push({ ...row, ...change });
    spoilt.push({ table: 'jobs', index: first + i, kind: i === 0 ? 'repeat' : 'replaced', column: null, value: null });
  });
}

/** What is measured in a table, the value that it can't have, and the one that a second reading would give. */
const measured = {
  closures: { column: 'cam_deg', outside: 1234.5, again: (value: number) => value + 0.1 },
  shims: { column: 'before_mm', outside: 115, again: (value: number) => value + 0.05 },
  draws: { column: 'volume_cm3', outside: -12.4, again: (value: number) => value + 0.1 },
  barrels: { column: 'rotation_deg', outside: 360, again: (value: number) => value + 0.25 },
  governor: { column: 'rack_mm', outside: 105, again: (value: number) => value + 0.05 },
  parts: { column: 'quantity', outside: -1, again: (value: number) => value + 1 },
} as const;

/** Columns without which a reading can't be placed at all. */
const placed = {
  closures: 'element',
  shims: 'run',
  draws: 'test_point',
  barrels: 'element',
  governor: 'check_id',
  parts: 'part',
} as const;

function spoilReading(
  rows: Rows,
  table: Reading,
  index: number,
  row: WrittenRow,
  spoilt: Spoilt[],
  chance: Dice,
): void {
  const { column, outside, again } = measured[table];
  const value = row[column];
  if (typeof value !== 'number') return;
  const mark = (at: number, kind: BadKind, by: string | null = null, written: string | number | null = null) =>
    void spoilt.push({ table, index: at, kind, column: by, value: written });
  const spoil = (by: string, written: number | null, kind: BadKind) => {
    rows[table][index] = { ...row, [by]: written };
    mark(index, kind, by, written);
  };
  const add = (by: string, written: string | number, kind: BadKind) => {
    mark(rows[table].push({ ...row, [by]: written }) - 1, kind, by, written);
  };
  const hasElement = table !== 'governor' && table !== 'parts';
  const slips: [() => void, ...(() => void)[]] = [
    () => {
      spoil(placed[table], null, 'missing');
    },
    () => {
      spoil(column, outside, 'outside');
    },
    () => {
      add('job_id', `${String(row['job_id'])}?`, 'noCounterpart');
    },
    () => {
      rows[table].push({ ...row });
      mark(index, 'repeat');
    },
    () => {
      rows[table].push({ ...row, [column]: nearest(again(value), 100) });
      mark(index, 'replaced');
    },
  ];
  if (table === 'closures' || table === 'shims' || table === 'draws' || table === 'barrels') {
    slips.push(() => {
      spoil(column, null, 'missing');
    });
  }
  if (hasElement) {
    const beyond = (elementsOfJob(rows, row['job_id']) ?? 8) + 1;
    slips.push(
      () => {
        add('element', beyond, 'elementBeyond');
      },
      () => {
        add('element', 0, 'outside');
      },
    );
  }
  if (table === 'draws')
    slips.push(() => {
      add('test_point', 'Overload', 'noTestPoint');
    });
  chance.pick(slips)();
}

function elementsOfJob(rows: Rows, job_id: Cell): number | undefined {
  const name = rows.jobs.find((job) => job['job_id'] === job_id)?.['pump_model'];
  return typeof name === 'string' ? elementsOf.get(name) : undefined;
}

/** The ways in which a cell of text can fail to be what its column wants. */
function textSlips(column: Column, value: Cell): readonly { kind: BadKind; value: string }[] {
  if (value === null || value === undefined) return [];
  switch (column.kind) {
    case 'number':
      return [
        {
          kind: 'decimalComma',
          value: String(value).includes('.') ? String(value).replace('.', ',') : `${String(value)},5`,
        },
        { kind: 'notNumber', value: 'abc' },
        { kind: 'outside', value: '1e309' },
      ];
    case 'integer':
      return [
        { kind: 'notWhole', value: `${String(value)}.5` },
        { kind: 'notNumber', value: 'two' },
      ];
    case 'moment':
      return [{ kind: 'notMoment', value: '31/12/2024 9:15' }];
    case 'yes_no':
      return [{ kind: 'notYesNo', value: 'maybe' }];
    default:
      return [];
  }
}

/** Rows that no sheet should have, for the end of the specification tables. They name a sheet of a model that exists. */
export const badSheetRows: readonly {
  table: 'specs' | 'test_points' | 'checks' | 'cam_lift' | 'instruments';
  row: WrittenRow;
  kind: BadKind;
  column: string;
  value: string | number | null;
}[] = [
  {
    table: 'specs',
    row: {
      spec_id: 'KES-4',
      revision: 'C-draft',
      valid_from: '2025-11-01',
      pump_model: 'Kestrel',
      elements: 4,
      firing_order: '1-3-3-2',
      lift_mm: 3,
      lift_minus_mm: 0.05,
      lift_plus_mm: 0.1,
    },
    kind: 'firingOrder',
    column: 'firing_order',
    value: '1-3-3-2',
  },
  {
    table: 'specs',
    row: {
      spec_id: 'CUR-V8',
      revision: 'D-draft',
      valid_from: '2025-11-01',
      pump_model: 'Curlew',
      elements: 8,
      firing_order: '1-8-4-3-6-5-7-2',
      closure_angles_deg: '0-37.5-90',
      lift_mm: 3.4,
      lift_minus_mm: 0.05,
      lift_plus_mm: 0.1,
    },
    kind: 'closureAngles',
    column: 'closure_angles_deg',
    value: '0-37.5-90',
  },
  {
    table: 'test_points',
    row: {
      spec_id: 'KES-4',
      revision: 'B',
      test_point: 'Trial',
      purpose: 'part',
      order: 9,
      speed_rpm: 900,
      low_mm3: 60,
      high_mm3: 50,
    },
    kind: 'bandReversed',
    column: 'low_mm3',
    value: 60,
  },
  {
    table: 'checks',
    row: {
      spec_id: 'PLO-4',
      revision: '3',
      check_id: 'trial',
      kind: 'boost',
      boost_kpa: 40,
      low: 9,
      high: 8,
      unit: 'mm',
    },
    kind: 'bandReversed',
    column: 'low',
    value: 9,
  },
  {
    table: 'cam_lift',
    row: { spec_id: 'OSP-8', revision: 'B', cam_deg: 54, lift_mm: 120 },
    kind: 'outside',
    column: 'lift_mm',
    value: 120,
  },
  {
    table: 'instruments',
    row: { instrument_id: 'TH-2', kind: 'thermometer', bench_id: 'B2', calibrated_on: '2025-06-30', due_on: null },
    kind: 'missing',
    column: 'due_on',
    value: null,
  },
];
