import { readFileSync } from 'node:fs';
import { csvParse } from 'd3-dsv';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convert, csvOf, type ConvertedTable } from '../../../lib/log/mapping/convert';
import { fits, MAPPING_VERSION, readMapping, type Mapping } from '../../../lib/log/mapping/mapping';
import { decode, delimiters, encodings, parseRows } from '../../../lib/log/mapping/read';
import { bytesOf, constant, dayIn, header, numberIn, sheetText, type Layout } from './foreign';

const ELEMENTS = Array.from({ length: 12 }, (_, i) => i + 1);

const layouts = fc.record<Layout>({
  encoding: fc.constantFrom(...encodings),
  mark: fc.boolean(),
  delimiter: fc.constantFrom(...delimiters),
  decimal: fc.constantFrom('point', 'comma'),
  dates: fc.constantFrom('iso', 'dmy', 'mdy'),
});

const plain: Layout = { encoding: 'utf-8', mark: false, delimiter: ';', decimal: 'comma', dates: 'dmy' };

const mappingOf = (layout: Layout, headers: readonly string[], targets: unknown): Mapping => {
  const read = readMapping(
    JSON.stringify({
      shimbook_mapping: MAPPING_VERSION,
      name: 'a sheet',
      headers,
      encoding: layout.encoding,
      delimiter: layout.delimiter,
      decimal: layout.decimal,
      dates: layout.dates,
      targets,
    }),
  );
  if (!read.ok) throw new Error(read.reason);
  return read.mapping;
};

function convertBytes(mapping: Mapping, bytes: Uint8Array) {
  const text = decode(bytes, mapping.encoding);
  if (!text.ok) throw new Error(text.reason);
  const rows = parseRows(text.text, mapping.delimiter);
  if (!rows.ok) throw new Error(rows.reason);
  expect(fits(mapping, rows.rows[mapping.header_row - 1] ?? [])).toBe(true);
  const made = convert(mapping, rows.rows);
  if (!made.ok) throw new Error(made.reason);
  return made;
}

const objects = (table: ConvertedTable | undefined): Record<string, string>[] =>
  table === undefined ? [] : csvParse(csvOf(table)).filter((row) => Object.values(row).some((cell) => cell !== ''));

const demo = (name: string) => csvParse(readFileSync(`data-demo/year/${name}.csv`, 'utf8'));
const some = <T>(rows: readonly T[]) =>
  fc.nat(rows.length - 1).chain((from) => fc.integer({ min: 1, max: 30 }).map((n) => rows.slice(from, from + n)));

describe('rows of the demo log, written as another shop would and mapped back', () => {
  const draws = demo('draws').filter(
    (row) => Number.isFinite(Number(row.volume_cm3)) && !/,/.test(row.volume_cm3 ?? ''),
  );
  const figure = (cell: string | undefined, of: (value: number) => number, decimals: number, layout: Layout) =>
    cell === undefined || cell === '' ? '' : numberIn(of(Number(cell)), decimals, layout);

  it('draws in inches, Fahrenheit and psi', () => {
    const headers = [
      'Job',
      'Durchgang',
      'Prüfpunkt',
      'Draw',
      'Cyl',
      'cc/500',
      'RPM',
      'Rack (in)',
      'Temp °F',
      'Feed psi',
    ];
    const from = (header: string, unit?: string) => ({
      from: 'header',
      header,
      ...(unit === undefined ? {} : { unit }),
    });
    fc.assert(
      fc.property(layouts, some(draws), (layout, rows) => {
        const mapping = mappingOf(layout, headers, [
          {
            table: 'draws',
            shape: 'a row a reading',
            columns: {
              job_id: from('JOB'),
              run: from('Durchgang'),
              test_point: from('Prüfpunkt'),
              repeat: from('Draw'),
              element: from('Cyl'),
              volume_cm3: from('cc/500', 'cc'),
              strokes: { from: 'constant', value: '500' },
              speed_rpm: from('RPM'),
              rack_mm: from('Rack  (in)', 'inch'),
              fluid_c: from('Temp °F', 'fahrenheit'),
              feed_kpa: from('Feed psi', 'psi'),
            },
          },
        ]);
        const sheet = rows.map((row) => [
          row.job_id ?? '',
          row.run ?? '',
          row.test_point ?? '',
          row.repeat ?? '',
          row.element ?? '',
          figure(row.volume_cm3, (v) => v, 3, layout),
          row.speed_rpm ?? '',
          figure(row.rack_mm, (v) => v / 25.4, 6, layout),
          figure(row.fluid_c, (v) => (v * 9) / 5 + 32, 4, layout),
          // 6894.757 Pa to the psi: NIST SP 811, B.8.
          figure(row.feed_kpa, (v) => v / 6.894757, 5, layout),
        ]);
        const { tables } = convertBytes(mapping, bytesOf(sheetText([headers, ...sheet], layout), layout));
        const back = objects(tables[0]);
        expect(back.length).toBe(rows.length);
        back.forEach((row, i) => {
          const was = rows[i];
          expect([row.job_id, row.run, row.test_point, row.repeat, row.element]).toEqual([
            was?.job_id,
            was?.run,
            was?.test_point,
            was?.repeat,
            was?.element,
          ]);
          for (const [name, within] of [
            ['volume_cm3', 1e-9],
            ['rack_mm', 25.4 * 0.5e-6 + 1e-9],
            ['fluid_c', 0.5e-4],
            ['feed_kpa', 6.9 * 0.5e-5 + 1e-4],
          ] as const) {
            expect(Math.abs(Number(row[name]) - Number(was?.[name]))).toBeLessThanOrEqual(within);
            expect(row[name] === '').toBe(was?.[name] === '');
          }
        });
      }),
      { numRuns: 60 },
    );
  });

  it('closures, a column an element, in degrees of the crankshaft', () => {
    const sound = demo('closures').filter(
      (row) =>
        /^\d+$/.test(row.run ?? '') && ELEMENTS.includes(Number(row.element)) && /^-?[\d.]+$/.test(row.cam_deg ?? ''),
    );
    // A column an element has no room for a second reading of one element.
    const once = new Map(sound.map((row) => [`${row.job_id} ${row.run} ${row.element}`, row]));
    const byRun = new Map<string, (typeof sound)[number][]>();
    for (const row of once.values()) {
      const run = `${row.job_id} ${row.run}`;
      byRun.set(run, [...(byRun.get(run) ?? []), row]);
    }
    const runs = [...byRun.values()];
    const headers = ['Card', 'Pass', ...ELEMENTS.map((n) => `PC cyl ${n}`)];
    const columns = {
      job_id: { from: 'header', header: 'card' },
      run: { from: 'header', header: 'pass' },
      element: { from: 'element' },
      cam_deg: { from: 'elements', pattern: 'pc cyl {n}', unit: 'crank_deg' },
    };
    fc.assert(
      fc.property(layouts, some(runs), (layout, sheet) => {
        const written = sheet.map((run) => [
          run[0]?.job_id ?? '',
          run[0]?.run ?? '',
          ...ELEMENTS.map((n) => {
            const row = run.find((each) => each.element === String(n));
            return row === undefined ? '' : numberIn(Number(row.cam_deg) * 2, 6, layout);
          }),
        ]);
        const mapping = mappingOf(layout, headers, [{ table: 'closures', shape: 'a column an element', columns }]);
        const { tables } = convertBytes(mapping, bytesOf(sheetText([headers, ...written], layout), layout));
        const name = (row: Record<string, string | undefined>) => `${row.job_id} ${row.run} ${row.element}`;
        const back = new Map(tables.flatMap(objects).map((row) => [name(row), Number(row.cam_deg)]));
        const was = new Map(sheet.flatMap((run) => run.map((row) => [name(row), Number(row.cam_deg)] as const)));
        expect([...back.keys()].sort()).toEqual([...was.keys()].sort());
        for (const [key, value] of was) expect(back.get(key)).toBeCloseTo(value, 6);
      }),
      { numRuns: 60 },
    );
  });

  it('job cards with days in any order', () => {
    const cards = demo('jobs').filter((row) => /^\d{4}-\d{2}-\d{2}$/.test(row.received_on ?? ''));
    const headers = ['No', 'Serial', 'Model', 'Sheet', 'Rev', 'Eingang', 'Arbeit'];
    fc.assert(
      fc.property(layouts, some(cards), (layout, rows) => {
        const from = (header: string) => ({ from: 'header', header });
        const mapping = mappingOf(layout, headers, [
          {
            table: 'jobs',
            shape: 'a row a reading',
            columns: {
              job_id: from('No'),
              pump_serial: from('Serial'),
              pump_model: from('Model'),
              spec_id: from('Sheet'),
              spec_revision: from('Rev'),
              received_on: from('Eingang'),
              work_type: {
                ...from('Arbeit'),
                words: { Prüfung: 'test', Einstellung: 'recalibrate', Überholung: 'rebuild' },
              },
            },
          },
        ]);
        const words: Record<string, string> = { test: 'PRÜFUNG', recalibrate: 'Einstellung', rebuild: ' Überholung' };
        const sheet = rows.map((row) => [
          row.job_id ?? '',
          row.pump_serial ?? '',
          row.pump_model ?? '',
          row.spec_id ?? '',
          row.spec_revision ?? '',
          dayIn(row.received_on ?? '', layout),
          words[row.work_type ?? ''] ?? row.work_type ?? '',
        ]);
        const { tables } = convertBytes(mapping, bytesOf(sheetText([headers, ...sheet], layout), layout));
        const named = (row: Record<string, string | undefined>) => [
          row.job_id,
          row.received_on,
          row.work_type,
          row.spec_revision,
        ];
        expect(objects(tables[0]).map(named)).toEqual(rows.map(named));
      }),
      { numRuns: 40 },
    );
  });
});

const flatHeaders = ['Job', 'Serial', 'In', 'Cyl', 'PC', 'Shim'];
const flatTargets = [
  {
    table: 'jobs',
    shape: 'a row a reading',
    rows: 'distinct',
    columns: {
      job_id: header('Job'),
      pump_serial: header('Serial'),
      pump_model: constant('Kestrel'),
      spec_id: constant('K-1'),
      spec_revision: constant('A'),
      received_on: header('In'),
      work_type: constant('test'),
    },
  },
  {
    table: 'closures',
    shape: 'a row a reading',
    only_where: ['cam_deg'],
    columns: { job_id: header('Job'), run: constant('1'), element: header('Cyl'), cam_deg: header('PC') },
  },
  {
    table: 'shims',
    shape: 'a row a reading',
    only_where: ['before_mm'],
    columns: { job_id: header('Job'), run: constant('1'), element: header('Cyl'), before_mm: header('Shim') },
  },
];
const flat = (...rows: string[]) =>
  convertBytes(
    mappingOf(plain, flatHeaders, flatTargets),
    new Uint8Array(new TextEncoder().encode(['Job;Serial;In;Cyl;PC;Shim', ...rows].join('\n'))),
  );
const tableOf = (made: ReturnType<typeof flat>, name: string) => made.tables.find((each) => each.table === name);

describe('a flat sheet that feeds several tables', () => {
  it('takes each job once and each reading in the row where it stands', () => {
    const made = flat('J1;S1;04/03/2024;1;0;', 'J1;S1;04/03/2024;2;90,5;1,20', '', 'J2;S2;05/03/2024;1;0;');
    expect(tableOf(made, 'jobs')?.rows.map((row) => row?.[0] ?? null)).toEqual(['J1', null, null, 'J2']);
    expect(tableOf(made, 'closures')?.rows.map((row) => row?.[3] ?? null)).toEqual(['0', '90.5', null, '0']);
    expect(tableOf(made, 'shims')?.rows).toEqual([null, ['J1', '1', '2', '1.20'], null, null]);
    expect(made.conflicts).toEqual([]);
    // A blank line in the text for each row that is none, so that the log counts as the sheet does.
    const shims = tableOf(made, 'shims');
    expect(shims === undefined ? '' : csvOf(shims)).toBe('job_id,run,element,before_mm\n\nJ1,1,2,1.20\n');
  });

  it('fills what one row of a job leaves empty from another, which is no conflict', () => {
    const made = flat('J1;S1;;1;0;', 'J1;;04/03/2024;2;90;');
    expect(tableOf(made, 'jobs')?.rows).toEqual([['J1', 'S1', 'Kestrel', 'K-1', 'A', '2024-03-04', 'test'], null]);
    expect(made.conflicts).toEqual([]);
  });

  it('tells rows of one job that disagree, with each value and its row, and keeps both rows', () => {
    const made = flat('J1;S1;;1;0;', 'J1;S1;04/03/2024;2;90;', 'J1;S9;05/03/2024;3;180;', 'J1;S1;05/03/2024;4;270;');
    expect(made.conflicts).toEqual([
      {
        table: 'jobs',
        key: ['J1'],
        column: 'pump_serial',
        values: [
          { value: 'S9', row: 4 },
          { value: 'S1', row: 5 },
        ],
      },
      {
        table: 'jobs',
        key: ['J1'],
        column: 'received_on',
        values: [
          { value: '2024-03-04', row: 3 },
          { value: '2024-03-05', row: 4 },
        ],
      },
    ]);
    expect(tableOf(made, 'jobs')?.rows.map((row) => row?.[1] ?? null)).toEqual(['S1', null, 'S9', 'S1']);
  });

  it('names rows from which nothing was taken and columns that are not used', () => {
    const made = convert(mappingOf(plain, [...flatHeaders, 'Weather'], flatTargets.slice(1)), [
      [...flatHeaders, 'Weather'],
      ['J1', '', '', '', '', '', 'rain'],
      ['J1', '', '', '1', '0', '', ''],
    ]);
    expect(made).toMatchObject({ ok: true, idle: [2], unused: ['Serial', 'In', 'Weather'] });
  });

  it('leaves a row with cells beyond the header too long, so that it is set aside', () => {
    const made = flat('J1;S1;04/03/2024;1;0;;stray', 'J2;S2;04/03/2024;1;0;;;');
    expect(tableOf(made, 'closures')?.rows).toEqual([
      ['J1', '1', '1', '0', 'stray'],
      ['J2', '1', '1', '0'],
    ]);
  });
});

describe('cells that mean harm or nothing pass as the text they are', () => {
  const long = '9'.repeat(1 << 20);
  it.each([
    ['markup', '<script>alert(1)</script>'],
    ['a formula', '=HYPERLINK("http://x")'],
    ['a formula with a sign', '+1+1|cmd'],
    ['a null', 'a\0b'],
    ['a mark that turns the direction of writing', '\u202e12,5'],
    ['a right-to-left mark', '\u200f12,5'],
    ['a megabyte', `${long}x`],
    ['the name of what all objects have', '__proto__'],
    ['line ends, delimiters and quotes', 'two\nlines, "quoted"'],
  ])('%s', (_, cell) => {
    const made = convert(mappingOf(plain, flatHeaders, flatTargets), [flatHeaders, ['J1', cell, cell, cell, cell, '']]);
    expect(made.ok && made.tables[0]?.rows[0]).toEqual(['J1', cell, 'Kestrel', 'K-1', 'A', cell, 'test']);
    expect(made.ok && made.tables[1]?.rows[0]).toEqual(['J1', '1', cell, cell]);
    const [back] = made.ok && made.tables[1] !== undefined ? csvParse(csvOf(made.tables[1])) : [];
    expect(back?.cam_deg).toBe(cell);
  });

  it('does not let the log read a number that is not in the notation of the sheet', () => {
    const made = convert(mappingOf(plain, flatHeaders, flatTargets), [flatHeaders, ['J1', '', '', '1', '90.5', '']]);
    expect(made.ok && made.tables[1]?.rows[0]?.[3]).toBe('90.5 [as written]');
  });
});
