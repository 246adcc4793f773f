import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { csvParse } from 'd3-dsv';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { resultTables } from '../../lib/calc/layout';
import { bookBytes, number, sheetOfCsv, text, typed } from '../log/workbook/book';
import { smallLog } from '../store/smallLog';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'workbook-'));
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
const sheetsOf = (...names: string[]) => names.map((name) => sheetOfCsv(name, smallLog[`${name}.csv`] ?? ''));

/** Draws under the headers of another shop; made for its text files, which have semicolons and decimal commas. */
const mapping = {
  shimbook_mapping: 1,
  name: 'bench text',
  headers: ['Job', 'Run', 'Point', 'No', 'El', 'Vol', 'Strokes', 'RPM', 'Rack'],
  encoding: 'windows-1252',
  delimiter: ';',
  decimal: 'comma',
  dates: 'dmy',
  targets: [
    {
      table: 'draws',
      shape: 'a row a reading',
      columns: Object.fromEntries(
        ['job_id', 'run', 'test_point', 'repeat', 'element', 'volume_cm3', 'strokes', 'speed_rpm', 'rack_mm'].map(
          (column, i) => [
            column,
            { from: 'header', header: ['Job', 'Run', 'Point', 'No', 'El', 'Vol', 'Strokes', 'RPM', 'Rack'][i] },
          ],
        ),
      ),
    },
  ],
};

it('a workbook gives the same results as the same log in CSV, sheets of their own layout by a mapping', async () => {
  const from = await lay('csv', smallLog);
  const draws = (smallLog['draws.csv'] ?? '').replace(/^.*\n/, `${mapping.headers.join(',')}\n`);
  const bytes = bookBytes({
    sheets: [
      ...sheetsOf('specs', 'test_points', 'instruments', 'jobs', 'closures', 'shims'),
      sheetOfCsv('Prüfstand', draws),
    ],
  });
  const workbook = await lay('book', { 'Shop.xlsx': bytes, '~$Shop.xlsx': 'open elsewhere' });
  const place = join(await lay('mappings', { 'bench.json': JSON.stringify(mapping) }), 'bench.json');
  const [a, b] = [join(folder, 'a'), join(folder, 'b')];
  expect(recalc('--in', from, '--out', a).code).toBe(0);
  const { code, out, err } = recalc('--in', workbook, '--out', b, '--mapping', place);
  expect(err).toBe('Shop.xlsx / Prüfstand: Read by the mapping "bench text".\n');
  expect(code).toBe(0);
  expect(out).toContain('Files read: 1\n');
  expect(out).toContain('Rows read: 23, accepted: 23, set aside: 0');
  for (const name of resultTables) {
    const rows = async (at: string) => readFile(join(at, `${name}.csv`), 'utf8');
    expect(await rows(b), name).toBe(await rows(a));
  }
  // Every sheet is told by the workbook that it came in.
  const files = csvParse(await readFile(join(b, 'files.csv'), 'utf8'));
  const digest = createHash('sha256').update(bytes).digest('hex');
  expect(new Set(files.map(({ format, hash }) => `${format ?? ''} ${hash ?? ''}`))).toEqual(
    new Set([`xlsx ${digest}`]),
  );
  expect(files).toHaveLength(7);
});

it('sets rows aside under sheet and row as the spreadsheet shows them, and refuses what is no workbook', async () => {
  const [shims] = sheetsOf('shims');
  const rows = [...(shims?.rows ?? []), [], [text('J-1'), number(1), number(4), typed('e', '#N/A'), number(1)]];
  const from = await lay('in', {
    'Shop.xlsx': bookBytes({
      sheets: [...sheetsOf('specs', 'jobs', 'closures'), { name: 'Shims', rows }, { name: 'Notes', rows: [] }],
    }),
    'old.xls': new Uint8Array([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]),
  });
  const to = join(folder, 'out');
  const { err } = recalc('--in', from, '--out', to);
  expect(err.trimEnd().split('\n')).toEqual([
    'Shop.xlsx / specs: Of this workbook was not read: Notes (empty).',
    'Shop.xlsx / Shims: Cells with an error (D4 #N/A) were taken as that text.',
    expect.stringContaining('old.xls: This is a workbook of the old binary kind (.xls), which is not read.'),
  ]);
  const [aside] = csvParse(await readFile(join(to, 'set_aside.csv'), 'utf8'));
  expect([aside?.file, aside?.row_no, aside?.column_name, aside?.value]).toEqual([
    'Shop.xlsx / Shims',
    '4',
    'before_mm',
    '#N/A',
  ]);
});
