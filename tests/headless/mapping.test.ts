import { spawnSync } from 'node:child_process';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { csvParse } from 'd3-dsv';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { resultTables } from '../../lib/calc/layout';
import { smallLog } from '../store/smallLog';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'mapping-'));
});
afterEach(async () => {
  await rm(folder, { recursive: true });
});

const recalc = (...args: string[]) => {
  const done = spawnSync('npm', ['run', '--silent', 'recalc', '--', ...args], { encoding: 'utf8' });
  return { code: done.status, out: done.stdout, err: done.stderr };
};

async function lay(place: string, files: Readonly<Record<string, string | Uint8Array>>): Promise<string> {
  const at = join(folder, place);
  await mkdir(at, { recursive: true });
  for (const [name, content] of Object.entries(files)) await writeFile(join(at, name), content);
  return at;
}

const header = (name: string, more: object = {}) => ({ from: 'header', header: name, ...more });
const constant = (value: string) => ({ from: 'constant', value });

/** A flat sheet: each draw beside its job, in the units and the writing of another shop. */
const flatMapping = {
  shimbook_mapping: 1,
  name: 'flat sheet',
  headers: ['Auftrag', 'Prüfling', 'Eingang', 'Punkt', 'Zug', 'Zyl', 'cc/500', 'U/min', 'Rack (in)'],
  encoding: 'windows-1252',
  delimiter: ';',
  decimal: 'comma',
  thousands: 'point',
  dates: 'dmy',
  targets: [
    {
      table: 'jobs',
      shape: 'a row a reading',
      rows: 'distinct',
      columns: {
        job_id: header('Auftrag'),
        pump_serial: header('Prüfling'),
        pump_model: constant('Kestrel'),
        spec_id: constant('K-1'),
        spec_revision: constant('A'),
        received_on: header('Eingang'),
        work_type: constant('recalibrate'),
        bench_id: constant('B1'),
      },
    },
    {
      table: 'draws',
      shape: 'a row a reading',
      only_where: ['volume_cm3'],
      columns: {
        job_id: header('Auftrag'),
        run: constant('1'),
        test_point: header('Punkt', { words: { Voll: 'full', Tief: 'low' } }),
        repeat: header('Zug'),
        element: header('Zyl'),
        volume_cm3: header('cc/500', { unit: 'cc' }),
        strokes: constant('500'),
        speed_rpm: header('U/min'),
        rack_mm: header('Rack (in)', { unit: 'inch' }),
      },
    },
  ],
};

const comma = (value: number): string => String(value).replace('.', ',');
const flatRows = csvParse(smallLog['draws.csv'] ?? '').map((row) =>
  [
    row.job_id,
    'S-1',
    '04.03.2024',
    row.test_point === 'full' ? 'Voll' : 'Tief',
    row.repeat,
    row.element,
    comma(Number(row.volume_cm3)),
    row.speed_rpm === '1000' ? '1.000' : row.speed_rpm,
    comma(Number(row.rack_mm) / 25.4),
  ].join(';'),
);
const flatSheet = (...rows: string[]): Uint8Array =>
  Buffer.from([flatMapping.headers.join(';'), ...rows, ''].join('\r\n'), 'latin1');

/** Closures, a column an element, in degrees of the crankshaft and thousandths of an inch, in UTF-16. */
const wideMapping = {
  shimbook_mapping: 1,
  name: 'wide sheet',
  headers: ['Job', 'Pass', 'Lift (thou)', 'Preload (thou)', 'PC 1', 'PC 2', 'PC 3', 'PC 4'],
  encoding: 'utf-16le',
  delimiter: '\t',
  decimal: 'point',
  dates: 'iso',
  targets: [
    {
      table: 'closures',
      shape: 'a column an element',
      columns: {
        job_id: header('Job'),
        run: header('Pass'),
        element: { from: 'element' },
        cam_deg: { from: 'elements', pattern: 'PC {n}', unit: 'crank_deg' },
        lift_mm: { from: 'elements', headers: { 1: 'Lift (thou)' }, unit: 'thou' },
        preload_mm: { from: 'elements', headers: { 1: 'Preload (thou)' }, unit: 'thou' },
      },
    },
  ],
};
const thou = (mm: number): string => String((mm / 25.4) * 1000);
const wideSheet = Buffer.from(
  `\ufeff${[
    wideMapping.headers,
    ['J-1', '1', thou(2.6), thou(0.5), '0', '539.4', '181.6', '360'],
    ['J-1', '2', thou(2.6), thou(0.5), '0', '539.4', '180.2', '360'],
  ]
    .map((row) => row.join('\t'))
    .join('\n')}\n`,
  'utf16le',
);

const ours = (...names: string[]) => Object.fromEntries(names.map((name) => [name, smallLog[name] ?? '']));
const sheetsOnly = ours('specs.csv', 'test_points.csv', 'instruments.csv', 'shims.csv');
const layMappings = async (...mappings: object[]): Promise<string[]> => {
  const place = await lay(
    'mappings',
    Object.fromEntries(mappings.map((mapping, i) => [`${i}.json`, JSON.stringify(mapping)])),
  );
  return mappings.flatMap((_, i) => ['--mapping', join(place, `${i}.json`)]);
};

describe('npm run recalc --mapping', () => {
  it("gives the same results for another shop's sheets as for the same readings in our own format", async () => {
    const from = await lay('ours', smallLog);
    const foreign = await lay('theirs', { ...sheetsOnly, 'flat.csv': flatSheet(...flatRows), 'wide.txt': wideSheet });
    const mappings = await layMappings(flatMapping, wideMapping);
    const [a, b] = [join(folder, 'a'), join(folder, 'b')];
    expect(recalc('--in', from, '--out', a).code).toBe(0);
    const { code, out, err } = recalc('--in', foreign, '--out', b, ...mappings);
    expect(code).toBe(0);
    expect(err.trimEnd().split('\n').sort()).toEqual([
      'flat.csv: Read by the mapping "flat sheet".',
      'wide.txt: Read by the mapping "wide sheet".',
    ]);
    expect(out).toContain('Files read: 6');
    expect(out).toContain('Rows read: 23, accepted: 23, set aside: 0');
    for (const name of resultTables) {
      const rows = async (place: string) => (await readFile(join(place, `${name}.csv`), 'utf8')).split('\n').sort();
      expect(await rows(b), name).toEqual(await rows(a));
    }
  });

  it('sets rows aside under the name and the row number of the sheet, with what was written there', async () => {
    const rows = [...flatRows.slice(0, 2), '', ';;;;;;;;', 'J-1;S-1;04.03.2024;"Voll\r\n(warm)";1;3;40,0;1.000;0,47'];
    const foreign = await lay('in', {
      ...sheetsOnly,
      'flat.csv': flatSheet(
        ...rows,
        'J-1;S-1;04.03.2024;Voll;2;3;40.0;1.000;0,47',
        'J-1;S-1;04.03.2024;Voll;3;3;<b>;1.000;0,47',
        `J-1;S-1;04.03.2024;${'long '.repeat(200_000)};3;3;40,0;1.000;0,47`,
      ),
    });
    const to = join(folder, 'out');
    const { code } = recalc('--in', foreign, '--out', to, ...(await layMappings(flatMapping)));
    expect(code).toBe(0);
    const aside = csvParse(await readFile(join(to, 'set_aside.csv'), 'utf8'));
    expect(aside.map((row) => [row.file, row.log_table, row.row_no, row.column_name, row.value?.slice(0, 30)])).toEqual(
      [
        ['flat.csv', 'draws', '6', 'test_point', 'Voll\r\n(warm)'],
        ['flat.csv', 'draws', '7', 'volume_cm3', '40.0 [as written]'],
        ['flat.csv', 'draws', '8', 'volume_cm3', '<b>'],
        ['flat.csv', 'draws', '9', 'test_point', 'long '.repeat(6)],
      ],
    );
  });

  it('tells jobs whose rows disagree, columns not used, and mappings that fit nothing', async () => {
    const foreign = await lay('in', {
      ...sheetsOnly,
      'flat.csv': flatSheet(flatRows[0] ?? '', (flatRows[1] ?? '').replace('S-1', 'S-2')),
    });
    const { code, err } = recalc(
      '--in',
      foreign,
      '--out',
      join(folder, 'out'),
      ...(await layMappings(flatMapping, wideMapping)),
    );
    expect(code).toBe(0);
    expect(err).toContain('1.json: No file has the headers of this mapping (job, lift (thou), pass, pc 1, pc 2, ...).');
    expect(err).toContain('Rows disagree on pump_serial of jobs J-1: S-1 in row 2, S-2 in row 3; the last counts.');
  });

  it.each([
    ['a quote that never closes', flatSheet('J-1;"S-1'), 'Row 2 opens a quote'],
    ['a null', flatSheet('J-1;S\0'), 'neither a CSV text nor a Parquet file'],
    ['no rows', flatSheet(), 'The file has a header and no rows.'],
  ])('refuses a sheet with %s and reads the others', async (_, sheet, says) => {
    const foreign = await lay('in', { ...smallLog, 'flat.csv': sheet });
    const { code, out, err } = recalc(
      '--in',
      foreign,
      '--out',
      join(folder, 'out'),
      ...(await layMappings(flatMapping)),
    );
    expect(err.trimEnd()).toMatch(/^flat\.csv: [^\n]*$/);
    expect(err).toContain(says);
    expect({ code, read: out.split('\n')[0] }).toEqual({ code: 0, read: 'Files read: 7' });
  });
});

describe('the call of npm run recalc', () => {
  it('exits with 2 and a plain sentence on a mapping that can not be used', async () => {
    const from = await lay('in', smallLog);
    const place = await lay('bad', { 'a.json': '{', 'b.json': JSON.stringify({ ...flatMapping, dates: 'ymd' }) });
    const call = (...more: string[]) => recalc('--in', from, '--out', join(folder, 'out'), ...more);
    const [flat = '', path = ''] = await layMappings(flatMapping);
    for (const [more, says] of [
      [['--mapping', join(place, 'none.json')], 'There is no readable file'],
      [['--mapping', join(place, 'a.json')], 'a.json: This is not JSON'],
      [['--mapping', join(place, 'b.json')], "b.json: The mapping can't be used. dates:"],
      [[flat, path, flat, path], 'are both for the same headers. Give one.'],
    ] as const) {
      const { code, err } = call(...more);
      expect(code).toBe(2);
      expect(err.split('\n')[0]).toContain(says);
    }
  });

  it('exits with 2 and a plain sentence where --out is no place for a folder', async () => {
    const from = await lay('in', smallLog);
    const file = join(from, 'jobs.csv');
    for (const [to, says] of [
      [file, `--out must be a folder, and ${file} is a file.`],
      [join(file, 'below'), `can't be made, since ${file} is a file.`],
      ['', '--out names no folder.'],
    ] as const) {
      const { code, err } = recalc('--in', from, `--out=${to}`);
      expect(code).toBe(2);
      expect(err.split('\n')[0]).toContain(says);
    }
  });

  it('shows the usage on --help and does nothing else', () => {
    const { code, out, err } = recalc('--help');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toContain('--mapping FILE');
  });
});
