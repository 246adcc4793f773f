import { describe, expect, it } from 'vitest';
import { convert } from '../../../lib/log/mapping/convert';
import { guessDates, guessDelimiter, guessEncoding, guessNotation } from '../../../lib/log/mapping/evidence';
import { columnOf, readHeader } from '../../../lib/log/mapping/headers';
import { draftMapping, propose } from '../../../lib/log/mapping/propose';
import { bytesOf } from './foreign';

const bytes = (text: string, encoding: 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252', mark = false) =>
  bytesOf(text, { encoding, mark, delimiter: ',', decimal: 'point', dates: 'iso' });

describe('what the sheet itself tells', () => {
  it.each([
    ['a mark', bytes('a', 'utf-16be', true), 'utf-16be', 'sure'],
    ['every second byte empty', bytes('Job,Serial,Rack', 'utf-16le'), 'utf-16le', 'likely'],
    ['every other byte empty', bytes('Job,Serial,Rack', 'utf-16be'), 'utf-16be', 'likely'],
    ['letters that are UTF-8', bytes('Prüfung', 'utf-8'), 'utf-8', 'sure'],
    ['letters that are not', bytes('Prüfung', 'windows-1252'), 'windows-1252', 'unsure'],
    ['plain letters', bytes('Job', 'utf-8'), 'utf-8', 'likely'],
  ] as const)('encoding by %s', (_, sheet, value, confidence) => {
    expect(guessEncoding(sheet)).toMatchObject({ value, confidence });
  });

  it.each([
    ['a;b;c\n1,5;2,5;3\n', ';', 'sure'],
    ['a\tb\n1;2\t3\n', '\t', 'sure'],
    ['a,b\n1,2\n', ',', 'sure'],
    ['a;b\n1;2;3\n', ';', 'unsure'],
    ['a\nb\n', null, 'open'],
  ] as const)('delimiter of %j', (text, value, confidence) => {
    expect(guessDelimiter(text)).toMatchObject({ value, confidence });
  });

  it.each([
    ['two decimals after a comma', ['1,234', '12,50'], { decimal: 'comma', thousands: 'none' }],
    ['two decimals after a point', ['1.234', '12.50'], { decimal: 'point', thousands: 'none' }],
    ['a nought before the sign', ['0,125'], { decimal: 'comma', thousands: 'none' }],
    ['both signs in one number', ['1.234,567'], { decimal: 'comma', thousands: 'point' }],
    ['thousands by commas', ['1,234', '12.5'], { decimal: 'point', thousands: 'comma' }],
    ['thousands by spaces', ['1 234', '12,5'], { decimal: 'comma', thousands: 'space' }],
    ['whole numbers only', ['12', '500'], { decimal: 'point', thousands: 'none' }],
    ['nothing that tells', ['1.234', '2.345'], null],
    ['signs that disagree', ['12.5', '12,5'], null],
  ])('decimal sign by %s', (_, cells, value) => {
    const guess = guessNotation(cells);
    expect(guess.value).toEqual(value);
    if (value === null)
      expect(guess).toMatchObject({ confidence: 'open', why: expect.stringContaining(cells[0] ?? '') as string });
  });

  it.each([
    ['a first part above 12', ['03/04/2024', '13/04/2024'], 'dmy', 'sure'],
    ['a second part above 12', ['03/04/2024', '04/13/2024'], 'mdy', 'sure'],
    ['a year in front', ['2024-03-04'], 'iso', 'sure'],
    ['nothing above 12', ['03/04/2024', '12/12/2024'], null, 'open'],
    ['parts that disagree', ['13/04/2024', '04/13/2024'], null, 'open'],
  ] as const)('order of dates by %s', (_, cells, value, confidence) => {
    expect(guessDates(cells)).toMatchObject({ value, confidence });
  });
});

describe('headers in the words of the trade', () => {
  it.each([
    ['Serial No.', 'pump_serial', null],
    ['Pump No', 'pump_serial', null],
    ['Rack (in)', 'rack_mm', 'inch'],
    ['Rack [thou]', 'rack_mm', 'thou'],
    ['Vol (cc/500)', 'volume_cm3', 'cc'],
    ['Feed psi', 'feed_kpa', 'psi'],
    ['Oil temp °F', 'fluid_c', 'fahrenheit'],
    ['Spill (deg crank)', 'cam_deg', 'crank_deg'],
    ['Port closing', 'cam_deg', null],
    ['Shim before, mm', 'before_mm', 'mm'],
    ['RPM', 'speed_rpm', null],
    ['Strokes', 'strokes', null],
    ['Cyl', 'element', null],
    ['volume_cm3', 'volume_cm3', null],
  ] as const)('%s', (header, column, unit) => {
    const facts = readHeader(header);
    expect(columnOf(facts, false)?.column).toBe(column);
    expect(facts.unit).toBe(unit);
  });

  it('reads over how many strokes a volume is', () => {
    expect(readHeader('Vol (cc/500)').strokes).toBe(500);
    expect(readHeader('Delivery (mm3/stroke)')).toMatchObject({ unit: 'mm3', strokes: 1 });
    expect(readHeader('Vol per 200 strokes').strokes).toBeNull();
  });

  it('does not take a number within a unit for an element', () => {
    expect(readHeader('Vol (mm3)').element).toBeNull();
    expect(readHeader('Vol 3 (mm3)').element).toEqual({ number: 3, pattern: 'vol {n} (mm3)' });
    expect(readHeader('cc/500 line 2').element).toEqual({ number: 2, pattern: 'cc/500 line {n}' });
  });

  it('leaves a header alone that says nothing to the trade', () => {
    expect(columnOf(readHeader('Weather'), false)).toBeNull();
  });
});

describe('a proposal', () => {
  const header = [
    'Job No',
    'Serial No',
    'Model',
    'Date in',
    'Test point',
    'RPM',
    'Rack (in)',
    'Vol 1 (cc/500)',
    'Vol 2 (cc/500)',
    'Weather',
  ];
  const rows = [['J1', 'S1', 'Kestrel', '03/04/2024', 'full', '1000', '0,472', '40,5', '39,5', 'rain']];

  it('sees elements in columns, units and strokes in headers, and jobs beside readings', () => {
    const proposal = propose(header, rows);
    const draws = proposal.targets.find((target) => target.table === 'draws');
    expect(draws?.shape).toBe('a column an element');
    expect(Object.fromEntries(draws?.columns.map((each) => [each.column, each.source]) ?? [])).toEqual({
      job_id: { from: 'header', header: 'Job No' },
      test_point: { from: 'header', header: 'Test point' },
      speed_rpm: { from: 'header', header: 'RPM', unit: 'rpm' },
      rack_mm: { from: 'header', header: 'Rack (in)', unit: 'inch' },
      element: { from: 'element' },
      volume_cm3: { from: 'elements', pattern: 'vol {n} (cc/500)', unit: 'cc' },
      strokes: { from: 'constant', value: '500' },
      run: { from: 'constant', value: '1' },
      repeat: { from: 'constant', value: '1' },
    });
    expect(proposal.targets.find((target) => target.table === 'jobs')?.rows).toBe('distinct');
    expect(proposal.unused).toEqual(['Weather']);
    // Each part says how sure it is and why; what was assumed is never sure.
    const all = proposal.targets.flatMap((target) => target.columns);
    expect(all.filter((each) => each.why === '')).toEqual([]);
    expect(draws?.columns.find((each) => each.column === 'run')?.confidence).toBe('unsure');
  });

  it('says what it can not tell, and makes no mapping of it', () => {
    const proposal = propose(header, rows);
    expect(proposal.dates).toMatchObject({ value: null, confidence: 'open' });
    expect(proposal.open).toEqual([
      expect.stringContaining('Order of dates: 03/04/2024 may begin with the day or the month'),
      'jobs: no column of the sheet stands for spec_id.',
      'jobs: no column of the sheet stands for spec_revision.',
      'jobs: no column of the sheet stands for work_type.',
    ]);
    const decided = { name: 'sheet', encoding: 'utf-8', delimiter: ';' } as const;
    expect(draftMapping(header, proposal, decided)).toMatchObject({
      ok: false,
      open: [expect.stringContaining('Order of dates') as string],
    });
    expect(draftMapping(header, proposal, { ...decided, dates: 'dmy' })).toMatchObject({
      ok: false,
      open: [
        'targets.0.columns.spec_id: is needed and has no source',
        'targets.0.columns.spec_revision: is needed and has no source',
        'targets.0.columns.work_type: is needed and has no source',
      ],
    });
  });

  it('becomes a mapping that converts the sheet once all is decided', () => {
    const constant = (value: string) => ({ from: 'constant', value }) as const;
    const draft = draftMapping(header, propose(header, rows), {
      name: 'sheet',
      encoding: 'utf-8',
      delimiter: ';',
      dates: 'mdy',
      sources: { jobs: { spec_id: constant('K-1'), spec_revision: constant('A'), work_type: constant('test') } },
    });
    const made = draft.ok ? convert(draft.mapping, [header, ...rows]) : null;
    const seen = made?.ok === true ? made.tables.map((table) => [table.table, table.element, table.rows]) : [];
    expect(seen).toEqual([
      ['jobs', null, [['J1', 'S1', 'Kestrel', 'K-1', 'A', '2024-03-04', 'test']]],
      ['draws', 1, [['J1', '1', 'full', '1', '1', '40.5', '500', '1000', '11.9888']]],
      ['draws', 2, [['J1', '1', 'full', '1', '2', '39.5', '500', '1000', '11.9888']]],
    ]);
  });

  it('leaves a unit open that does not fit the column', () => {
    const proposal = propose(['Job', 'Cyl', 'Closure (psi)'], []);
    expect(proposal.open).toContainEqual(expect.stringContaining('closures, cam_deg'));
  });

  it('does not divide deliveries for one stroke by the strokes of another column', () => {
    const proposal = propose(['Job', 'Point', 'Cyl', 'Strokes', 'Delivery (mm3/stroke)'], []);
    const draws = proposal.targets.find((target) => target.table === 'draws');
    expect(draws?.columns.find((each) => each.column === 'strokes')?.source).toEqual({ from: 'constant', value: '1' });
  });

  it('does not tell camshaft from crankshaft where the header does not', () => {
    const target = propose(['Job', 'Cyl', 'Spill (deg)'], []).targets.find((each) => each.table === 'closures');
    expect(target?.columns.find((each) => each.column === 'cam_deg')).toMatchObject({
      confidence: 'unsure',
      why: expect.stringContaining('camshaft from crankshaft') as string,
    });
  });
});
