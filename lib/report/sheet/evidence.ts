import { formulas } from '../../calc/formulas/formulas';
import type { TableName } from '../../log/table';
import { inLogUnits } from '../../words/figures';
import { logLabel, resultLabel } from '../../words/labels';
import type { AuditRecord, Moved, Step } from '../record';
import { figureTables, num, resultColumnNames, txt, type FigureTable, type ReadingName, type Row } from '../rows';
import { facts, element, paragraph, section, shown, table, type SheetElement, type SheetNode } from './nodes';
import {
  dayWord,
  figure,
  logColumns,
  placedTable,
  placeOf,
  placeWord,
  plain,
  resultColumn,
  runWord,
  stackRead,
  standsIn,
} from './words';

/** The evidence behind the answers: specification, readings, what was done, what was worked out, and out of which files. */

const SHEET_KEYS = ['file', 'row_no'];

function sheetFacts(sheet: Row): SheetElement {
  const names = Object.keys(sheet).filter((name) => !SHEET_KEYS.includes(name) && sheet[name] !== null);
  return facts([
    ...names.map((name): readonly [string, SheetNode] => {
      const { text, unit } = logLabel('specs', name);
      const symbol = typeof sheet[name] === 'number' ? inLogUnits.symbol(unit) : '';
      return [text, symbol === '' ? plain(sheet[name]) : `${plain(sheet[name])} ${symbol}`];
    }),
    ['Stands in', placeWord(txt(sheet, 'file'), num(sheet, 'row_no'))],
  ]);
}

type Revision = AuditRecord['specification']['revisions'][number];

export const specification = ({ specification: spec, job }: AuditRecord): SheetElement =>
  section(
    'Specification',
    paragraph(
      `Worked to revision ${shown(txt(job, 'spec_revision'))} of ${shown(txt(job, 'spec_id'))}; on the day the pump came in, ${dayWord(txt(job, 'received_on'))}, it was: ${spec.standing}.`,
    ),
    placedTable<Revision>(
      'Revisions of this sheet in the log',
      [
        { head: 'Revision', cell: (each) => shown(each.revision) },
        { head: 'Valid from', cell: (each) => dayWord(each.valid_from) },
        { head: 'Worked to', cell: (each) => (each.used ? 'yes' : 'no') },
        { head: 'In force on the day', cell: (each) => (each.in_force ? 'yes' : 'no') },
      ],
      spec.revisions,
      (each) => each,
    ),
    element('h3', {}, 'Limits worked to'),
    sheetFacts(spec.sheet),
    specTable('Test points of the sheet: setting', 'test_points', POINT_SETTING, spec.test_points),
    specTable('Test points of the sheet: limits and windows', 'test_points', POINT_LIMITS, spec.test_points),
    specTable('Governor and accessory checks of the sheet', 'checks', CHECKS, spec.checks),
    camLift(spec.cam_lift),
  );

const POINT_SETTING = [
  'order',
  'test_point',
  'purpose',
  'speed_rpm',
  'speed_tol_rpm',
  'rack_mm',
  'rack_tol_mm',
  'strokes',
];
const POINT_LIMITS = [
  ...['test_point', 'low_mm3', 'high_mm3', 'spread', 'spread_basis'],
  ...['fluid_low_c', 'fluid_high_c', 'feed_low_kpa', 'feed_high_kpa'],
];
const CHECKS = ['check_id', 'kind', 'speed_rpm', 'boost_kpa', 'lever', 'low', 'high', 'unit'];

const specTable = (caption: string, name: TableName, columns: readonly string[], rows: readonly Row[]): SheetElement =>
  placedTable(caption, logColumns(name, columns, rows), rows, placeOf, 'The sheet has none.');

/** A curve of many rows, told in few lines. */
function camLift(rows: readonly Row[]): SheetElement {
  const caption = element('strong', {}, 'Cam lift of the sheet: ');
  if (rows.length === 0) return paragraph(caption, 'The sheet has none.');
  const points = rows.map((row) => `${plain(row.cam_deg)}° ${plain(row.lift_mm)}`).join(', ');
  const { from } = standsIn(rows, placeOf);
  const numbers = rows.map((row) => num(row, 'row_no') ?? 0);
  const span = from === '' ? '' : `${from}, rows ${Math.min(...numbers)} to ${Math.max(...numbers)}`;
  return paragraph(caption, `${points} (camshaft angle, lift in mm)${span}.`);
}

const readings: Readonly<Record<ReadingName, readonly [caption: string, columns: readonly string[]]>> = {
  closures: ['Closures as read', ['run', 'element', 'cam_deg', 'lift_mm', 'preload_mm', 'instrument_id']],
  shims: [
    'Shims as written down',
    [
      ...['run', 'element', 'before_mm', 'after_mm', 'before_second_mm', 'after_second_mm'],
      ...['batch', 'stated_change_mm'],
    ],
  ],
  draws: [
    'Draws as read',
    [
      ...['test_point', 'run', 'element', 'repeat', 'volume_cm3', 'strokes', 'speed_rpm', 'rack_mm', 'fluid_c'],
      ...['feed_kpa', 'stated_mm3_per_stroke', 'taken_at', 'instrument_id'],
    ],
  ],
  barrels: ['Barrels as written down', ['run', 'element', 'rotation_deg', 'scribed']],
  governor: [
    'Governor and accessories as read',
    ['check_id', 'run', 'speed_rpm', 'rack_mm', 'boost_kpa', 'lever', 'delivery_mm3'],
  ],
  parts: ['Parts fitted', ['element', 'part', 'quantity']],
};

export const asReadTables = (record: AuditRecord): SheetElement =>
  section(
    'Readings as read',
    paragraph('Every figure as it stands in the log, with the row that it stands in.'),
    ...(Object.keys(readings) as ReadingName[]).map((name) => {
      const [caption, columns] = readings[name];
      const rows = record.readings[name];
      return placedTable(caption, logColumns(name, columns, rows), rows, placeOf);
    }),
  );

/** What the sheet prints of each result table; the rest is in the record that it carries. */
const printed: Readonly<Partial<Record<FigureTable, readonly [caption: string, columns: readonly string[]]>>> = {
  timing: [
    'Timing, run by run',
    [
      ...['run', 'lift_mm', 'lift_error_mm', 'shim_change_mm', 'lift_rate_mm_per_deg', 'lift_rate_basis'],
      ...['elements_measured', 'worst_error_deg', 'worst_element', 'tolerance_deg'],
    ],
  ],
  phasing: [
    'Phasing, element by element',
    [
      ...['run', 'element', 'closure_deg', 'nominal_deg', 'error_deg', 'shim_change_mm', 'shim_step_mm', 'made_mm'],
      ...['plan_mm', 'planned_error_deg'],
    ],
  ],
  shim_plans: [
    'Shim plan beside what was done',
    ['run', 'status', 'barrels', 'moved_mm', 'lift_after_mm', 'worst_after_deg', 'done_barrels', 'done_mm'],
  ],
  points: [
    'Test points',
    [
      ...['test_point', 'run', 'elements_measured', 'mean_mm3', 'mean_at_reference_mm3', 'scatter_percent'],
      ...['unchecked', 'verdict', 'decision'],
    ],
  ],
  deliveries: [
    'Deliveries',
    [
      ...['test_point', 'run', 'element', 'mm3_per_stroke', 'uncertainty_mm3', 'deviation_mm3', 'at_reference_mm3'],
      ...['repeat_range_mm3', 'draws', 'excluded', 'verdict'],
    ],
  ],
  balance_plans: [
    'Balance plan beside what was done',
    [
      ...['test_point', 'run', 'status', 'turned', 'target_mm3', 'rack_move_mm', 'mean_after_mm3', 'done_turned'],
      'done_deg',
    ],
  ],
  rotations: ['Rotations planned and made', ['run', 'element', 'planned_deg', 'planned_mm3', 'made_deg', 'used_deg']],
  retention: [
    'Low-speed retention',
    ['run', 'element', 'low_test_point', 'rated_test_point', 'low_mm3', 'rated_mm3', 'retention'],
  ],
  leakage: ['Leak slope', ['run', 'element', 'rack_mm', 'speeds', 'intercept_mm3', 'slope_mm3_rpm', 'clearance_um']],
  stages: [
    'Stages',
    ['stage', 'test_point', 'runs', 'first_verdict', 'first_pass', 'as_left_run', 'as_left', 'changes'],
  ],
};

export const recomputed = (record: AuditRecord): SheetElement =>
  section(
    'Recomputed figures',
    paragraph(
      'Rounded here to the resolution of the gauge; every digit and every further column is in the record that this file carries.',
    ),
    ...Object.entries(printed).map(([name, [caption, columns]]) => {
      const of = name as FigureTable;
      return table(
        caption,
        columns.map((column) => resultColumn(of, column)),
        record.results[of],
      );
    }),
  );

export const work = (record: AuditRecord): SheetElement =>
  section(
    'What was done',
    table<Step>(
      'Order of steps',
      [
        { head: 'Run', cell: ({ run }) => runWord(run) },
        { head: 'Step', cell: (each) => each.what },
        { head: 'Test point', cell: (each) => shown(each.test_point) },
        { head: 'Rows', cell: ({ rows }) => String(rows), kind: 'figure' },
        { head: 'From', cell: (each) => shown(each.from), kind: 'line' },
        { head: 'To', cell: (each) => shown(each.to), kind: 'line' },
        { head: 'Place known by', cell: (each) => each.known_by },
      ],
      record.steps,
    ),
    placedTable<Moved>(
      'Shims and barrels moved',
      [
        { head: 'After run', cell: ({ run }) => runWord(run) },
        { head: 'Element', cell: (each) => String(each.element) },
        { head: 'What', cell: (each) => each.what },
        { head: 'Before', cell: (each) => stackRead(each.before, each.before_second), kind: 'figure' },
        { head: 'After', cell: (each) => stackRead(each.after, each.after_second), kind: 'figure' },
        { head: 'Change', cell: (each) => figure(each.change, each.unit, true), kind: 'figure' },
        { head: 'Planned', cell: (each) => figure(each.planned, each.unit, true), kind: 'figure' },
        { head: 'On the card', cell: (each) => figure(each.stated, each.unit, true), kind: 'figure' },
      ],
      record.moved,
      (each) => each,
    ),
  );

type Exclusion = AuditRecord['exclusions'][number];
type Assumed = AuditRecord['assumed'][number];

export const leftOut = (record: AuditRecord): SheetElement =>
  section(
    'Left out and assumed',
    placedTable<Exclusion>(
      'Draws that do not count',
      [
        { head: 'Test point', cell: (each) => shown(each.test_point) },
        { head: 'Run', cell: ({ run }) => runWord(run) },
        { head: 'Element', cell: (each) => String(each.element) },
        { head: 'Draw', cell: (each) => String(each.repeat) },
        { head: 'Reason', cell: (each) => each.reason },
        {
          head: 'Read',
          cell: (each) => inLogUnits.beside(each.reading, [each.low, each.high], each.unit).value,
          kind: 'figure',
        },
        { head: 'Window', cell: (each) => inLogUnits.beside(each.reading, [each.low, each.high], each.unit).band },
      ],
      record.exclusions,
      (each) => each,
      'Every draw counts.',
    ),
    table<Assumed>(
      'Values assumed',
      [
        { head: 'What', cell: (each) => shown(each.what) },
        { head: 'Value', cell: (each) => figure(each.value, each.unit), kind: 'figure' },
        { head: 'Basis', cell: (each) => each.basis },
      ],
      record.assumed,
    ),
  );

type UsedFormula = AuditRecord['formulas'][number];
type Source = AuditRecord['sources'][number];

/** The figures that a formula gives, as the tables above head them. */
function givenWords({ columns }: UsedFormula): string {
  const words = columns.map((path) => {
    const [table = '', column = ''] = path.split('.');
    const of = figureTables.find((each) => each === table);
    return of !== undefined && resultColumnNames(of).includes(column) ? resultLabel(of, column).text : shown(path);
  });
  return [...new Set(words)].join(', ');
}

export const origins = (record: AuditRecord): SheetElement =>
  section(
    'Formulas and files',
    table<UsedFormula>(
      'Formulas',
      [
        { head: 'Symbol', cell: (each) => each.symbol },
        { head: 'Formula', cell: (each) => each.text },
        { head: 'What it gives', cell: (each) => each.meaning },
        { head: 'Figures above', cell: givenWords },
        { head: 'Unit', cell: (each) => inLogUnits.symbol(formulas[each.name].unit) || '–' },
        { head: 'Source', cell: (each) => each.source },
      ],
      record.formulas,
    ),
    table<Source>(
      'Files that the rows of this job came from',
      [
        { head: 'File', cell: (each) => shown(each.file) },
        { head: 'SHA-256 of the file', cell: (each) => element('code', {}, each.sha256) },
        { head: 'Rows', cell: ({ rows }) => String(rows), kind: 'figure' },
      ],
      record.sources,
    ),
  );
