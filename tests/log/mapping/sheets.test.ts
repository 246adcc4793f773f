import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { guessDelimiter, guessEncoding } from '../../../lib/log/mapping/evidence';
import { guessHeaderRow } from '../../../lib/log/mapping/headerRow';
import type { Source } from '../../../lib/log/mapping/mapping';
import { draftMapping, propose, type Decisions } from '../../../lib/log/mapping/propose';
import { decode, parseRows } from '../../../lib/log/mapping/read';
import { tryOut } from '../../../lib/log/mapping/tryOut';

/** Sheets of invented shops, each with habits of its own: what the proposal alone makes of them, and what it asks. */

function looked(name: string) {
  const bytes = new Uint8Array(readFileSync(`tests/log/mapping/sheets/${name}`));
  const encoding = guessEncoding(bytes).value ?? 'utf-8';
  const text = decode(bytes, encoding);
  if (!text.ok) throw new Error(text.reason);
  const delimiter = guessDelimiter(text.text).value ?? ',';
  const rows = parseRows(text.text, delimiter);
  if (!rows.ok) throw new Error(rows.reason);
  const headerRow = guessHeaderRow(rows.rows).value ?? 0;
  const header = rows.rows[headerRow - 1] ?? [];
  const proposal = propose(header, rows.rows.slice(headerRow));
  return { encoding, delimiter, rows: rows.rows, headerRow, header, proposal };
}
type Looked = ReturnType<typeof looked>;

/** What comes of the sheet when what was asked is answered, and nothing else is changed. */
function read(sheet: Looked, answered: Partial<Decisions> = {}) {
  const { header, proposal, encoding, delimiter, headerRow, rows } = sheet;
  const draft = draftMapping(header, proposal, { name: 'a sheet', encoding, delimiter, headerRow, ...answered });
  if (!draft.ok) return { asked: draft.open };
  const tried = tryOut(draft.mapping, rows);
  if (!tried.ok) throw new Error(tried.reason);
  return {
    counts: Object.fromEntries(tried.tables.map(({ table, total, aside }) => [table, [total - aside, aside]])),
    rows: Object.fromEntries(tried.tables.map(({ table, header: names, rows: first }) => [table, [names, ...first]])),
    faults: tried.faults.map(({ column, first, value }) => [column, first, value]),
    doubts: tried.doubts,
  };
}

const constant = (value: string): Source => ({ from: 'constant', value });
const cells = (made: ReturnType<typeof read>, table: string, row: number) => {
  const [names = [], ...rows] = made.rows?.[table] ?? [];
  const found = rows.filter(([no]) => no === String(row));
  return found.map(([, ...values]) => Object.fromEntries(names.map((name, i) => [name, values[i]])));
};

describe('sheets of other shops', () => {
  it('in German, with titles above, semicolons, decimal commas and Windows letters', () => {
    const sheet = looked('werkstatt.csv');
    expect(sheet).toMatchObject({ encoding: 'windows-1252', delimiter: ';', headerRow: 4 });
    const made = read(sheet);
    // Four elements in each of three rows; one of them is a word.
    expect(made.counts).toEqual({ draws: [11, 1] });
    expect(made.faults).toEqual([['volume_cm3', 6, 'fehlt']]);
    expect(cells(made, 'draws', 5)[1]).toMatchObject({
      job_id: 'A-101',
      test_point: 'Volllast',
      element: '2',
      volume_cm3: '40.5',
      strokes: '500',
      speed_rpm: '1000',
      rack_mm: '12.0',
    });
  });

  it('of jobs, with the month first, words of the shop and thousands by commas', () => {
    const made = read(looked('us-jobs.csv'));
    // The log has no word for an inspection, and none is made up.
    expect(made.counts).toEqual({ jobs: [3, 1] });
    expect(made.faults).toEqual([['work_type', 5, 'Inspect']]);
    expect(cells(made, 'jobs', 2)).toEqual([
      expect.objectContaining({
        job_id: 'W-1',
        pump_serial: '00417',
        received_on: '2024-03-14',
        finished_on: '2024-03-16',
        work_type: 'rebuild',
        warranty: 'N',
        engine_hours: '12400',
      }),
    ]);
    expect(['3', '4'].map((row) => cells(made, 'jobs', Number(row))[0]?.work_type)).toEqual(['recalibrate', 'test']);
  });

  it('of closures in degrees of the crankshaft with minutes and seconds of arc', () => {
    const made = read(looked('phasing.txt'));
    expect(made.counts).toEqual({ closures: [8, 0] });
    const angles = cells(made, 'closures', 3).map((row) => Number(row.cam_deg));
    // Half of 539 + 45/60 + 30/3600 and of 180 + 12/60, to twelve figures.
    expect(angles).toEqual([0, 269.879166667, 90.1, 180]);
  });

  it('with a column an element that says no more than its number', () => {
    const sheet = looked('six.csv');
    expect(read(sheet).asked).toEqual([expect.stringContaining('strokes: is needed and has no source')]);
    const made = read(sheet, { sources: { draws: { strokes: constant('500') } } });
    expect(made.counts).toEqual({ draws: [11, 0] });
    const volume = sheet.proposal.targets[0]?.columns.find(({ column }) => column === 'volume_cm3');
    expect(volume).toMatchObject({ confidence: 'unsure', source: { pattern: 'cyl {n}' } });
  });

  it('in UTF-16 parted by tabs, out of a spreadsheet', () => {
    const made = read(looked('tabs.txt'));
    expect(made.counts).toEqual({ shims: [2, 1] });
    expect(made.faults).toEqual([['before_mm', 4, 'none']]);
    expect(cells(made, 'shims', 2)[0]).toMatchObject({ job_id: 'K-20', before_mm: '1.200', after_mm: '1.050' });
  });

  it('flat: a job, its closures and its draws in one row', () => {
    const made = read(looked('flat.csv'));
    // Two jobs; four closures of each, though one job has two rows; four draws a row.
    expect(made.counts).toEqual({ jobs: [2, 0], closures: [8, 0], draws: [12, 0] });
    expect(cells(made, 'draws', 2)[3]).toMatchObject({ job_id: 'F-1', volume_cm3: '40.25', rack_mm: '11.9888' });
    expect(cells(made, 'closures', 2)[1]).toMatchObject({ job_id: 'F-1', element: '2', cam_deg: '269.7' });
    expect(cells(made, 'closures', 3)).toEqual([]);
  });

  it('in thou, Fahrenheit, psi and cubic centimetres over 500 strokes', () => {
    const made = read(looked('bench-log.csv'));
    expect(made.counts).toEqual({ draws: [2, 1] });
    expect(made.faults).toEqual([['fluid_c', 4, 'hot']]);
    expect(cells(made, 'draws', 2)[0]).toMatchObject({
      job_id: '88',
      element: '1',
      volume_cm3: '39.5',
      strokes: '500',
      rack_mm: '11.9888',
      fluid_c: '40',
      taken_at: '2024-05-13 14:05',
    });
    // 25 psi at 6.894757 kPa each (NIST SP 811, 2008, B.8).
    expect(Number(cells(made, 'draws', 2)[0]?.feed_kpa)).toBeCloseTo(25 * 6.894757, 4);
  });

  it('that do not tell the order of days or the decimal sign: both are asked, and neither is guessed', () => {
    const sheet = looked('silent.csv');
    expect(read(sheet).asked).toEqual([
      expect.stringContaining('Order of dates: 03/04/2024'),
      expect.stringContaining('Decimal sign: 40.125'),
    ]);
    const decided = { dates: 'dmy', notation: { decimal: 'point', thousands: 'none' } } as const;
    const made = read(sheet, decided);
    expect(made.counts).toEqual({ draws: [2, 0] });
    expect(cells(made, 'draws', 2)[0]).toMatchObject({ volume_cm3: '40.125', taken_at: '2024-04-03 10:15' });
  });
});

describe('what rows further down speak against', () => {
  it('is told when the cells can only be written otherwise', () => {
    const sheet = looked('silent.csv');
    const later = { ...sheet, rows: [...sheet.rows, ['J-2', '1', 'full', '500', '40,5', '12,0', '25/04/2024 08:00']] };
    const made = read(later, { dates: 'mdy', notation: { decimal: 'point', thousands: 'none' } });
    expect(made.doubts).toEqual([
      expect.stringContaining('Decimal sign: 40,5'),
      expect.stringContaining('Order of dates: 25/04/2024'),
    ]);
  });
});

describe('the row of the headers', () => {
  const names = ['Job', 'Cyl', 'Rack (mm)', 'Vol (cc/500)'];
  it.each([
    ['in the first row', [names, ['1', '1', '12', '40']], 1, 'sure'],
    ['below a title and a blank row', [['Record of draws'], [''], names, ['1', '1', '12', '40']], 3, 'likely'],
    [
      'below a title that fills its row with empty cells',
      [['Bench 2', '', '', ''], names, ['1', '1', '12', '40']],
      2,
      'likely',
    ],
    ['with two rows that may be it', [names, names, ['1', '1', '12', '40']], 1, 'unsure'],
    [
      'without a word of the trade',
      [
        ['Foo', 'Bar'],
        ['1', '2'],
      ],
      1,
      'likely',
    ],
  ] as const)('%s', (_, rows, value, confidence) => {
    expect(guessHeaderRow(rows)).toMatchObject({ value, confidence });
  });

  it('is not looked for among figures', () => {
    expect(
      guessHeaderRow([
        ['1', '2'],
        ['3', '4'],
      ]),
    ).toMatchObject({ value: 1, confidence: 'unsure' });
  });
});

it('a day that may begin with a year of two figures is asked', () => {
  const proposal = propose(['Job', 'Cyl', 'Spill (cam deg)', 'Date in', 'Serial'], [['1', '1', '0', '24-03-04', 'S']]);
  expect(proposal.dates).toMatchObject({ value: null, confidence: 'open' });
});
