import { spawnSync } from 'node:child_process';
import { mkdtemp, mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { csvParse } from 'd3-dsv';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { resultTables } from '../../lib/calc/layout';
import { NativeDatabase } from '../../lib/store/native/database';
import { appended, smallLog, smallLogWith } from '../store/smallLog';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'recalc-'));
});
afterEach(async () => {
  await rm(folder, { recursive: true });
});

const recalc = (...args: string[]) => {
  const done = spawnSync('npm', ['run', '--silent', 'recalc', '--', ...args], { encoding: 'utf8' });
  return { code: done.status, out: done.stdout, err: done.stderr };
};

async function lay(files: Readonly<Record<string, string>>): Promise<string> {
  const place = join(folder, 'in');
  for (const [name, content] of Object.entries(files)) {
    await mkdir(join(place, name.replace('.csv', '')), { recursive: true });
    await writeFile(join(place, name.replace('.csv', ''), name), content);
  }
  return place;
}

describe('npm run recalc', () => {
  it('writes every result table as CSV and Parquet with the same content, and the rows set aside', async () => {
    const from = await lay(smallLogWith('draws.csv', appended('J-1,1,full,1,0,"=1+1",500')));
    const to = join(folder, 'out');
    const { code, out, err } = recalc('--in', from, '--out', to);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toContain('Files read: 7');
    expect(out).toContain('Rows read: 24, accepted: 23, set aside: 1');
    expect(out).toContain('Set aside: 1 to mend, 0 there already, 0 replaced by a later row, 0 mended');
    expect(out).toContain('First pass: 0 of 1 counted');
    const names = [...resultTables, 'set_aside', 'files'];
    expect((await readdir(to)).sort()).toEqual(names.flatMap((name) => [`${name}.csv`, `${name}.parquet`]).sort());
    const db = await NativeDatabase.open();
    for (const name of names) {
      const csv = csvParse(await readFile(join(to, `${name}.csv`), 'utf8'));
      const parquet = await db.rows(`select columns(*)::varchar from read_parquet('${join(to, `${name}.parquet`)}')`);
      expect(parquet.map((row) => Object.values(row).map((value) => value ?? ''))).toEqual(
        csv.map((row) => Object.values(row)),
      );
    }
    const files = csvParse(await readFile(join(to, 'files.csv'), 'utf8'));
    expect(files.find((file) => file.file === 'draws/draws.csv')).toMatchObject({
      rows_set_aside: '1',
      rows_needing_hand: '1',
      rows_repeated: '0',
      rows_replaced: '0',
      rows_mended: '0',
    });
    const [aside] = csvParse(await readFile(join(to, 'set_aside.csv'), 'utf8'));
    expect(aside).toMatchObject({
      log_table: 'draws',
      row_no: '11',
      column_name: 'element',
      value: '0',
      kind: 'format',
    });
  });

  it('works out the figures that the small log was made for', async () => {
    const to = join(folder, 'out');
    recalc('--in', await lay(smallLog), '--out', to);
    const read = async (name: string) => [...csvParse(await readFile(join(to, `${name}.csv`), 'utf8'))];
    // Lift 2.60 less 0.50 preload is the nominal 2.10. Element 3 closes at 90.8 instead of 90: 0.8 late, 0.16 mm out.
    expect(
      (await read('timing')).map((row) => [row.run, Number(row.lift_mm), row.timing_verdict, row.phasing_verdict]),
    ).toEqual([
      ['1', expect.closeTo(2.1, 9), 'in', 'out'],
      ['2', expect.closeTo(2.1, 9), 'in', 'in'],
    ]);
    const third = (await read('phasing')).find((row) => row.run === '1' && row.element === '3');
    expect(Number(third?.error_deg)).toBeCloseTo(0.8, 9);
    expect(Number(third?.shim_change_mm)).toBeCloseTo(-0.16, 9);
    expect(Number(third?.shim_step_mm)).toBeCloseTo(-0.15, 9);
    expect(Number(third?.made_mm)).toBeCloseTo(-0.15, 9);
    // 40.0, 40.5, 39.5 and 40.0 cm3 over 500 strokes; the draw of element 4 at a rack of 12.4 mm does not count.
    const full = (await read('points')).find((row) => row.test_point === 'full');
    expect(full).toMatchObject({ elements_measured: '4', spread: '2.0', verdict: 'in' });
    expect(Number(full?.mean_mm3)).toBeCloseTo(80, 9);
    expect(await read('excluded')).toMatchObject([{ element: '4', repeat: '1', reason: 'rack outside its window' }]);
    expect((await read('retention')).find((row) => row.element === '1')?.retention).toBe('0.9');
    expect(await read('outcomes')).toMatchObject([
      { first_pass: 'no', stages_asked: '3', stages_counted: '3', as_left: 'in' },
    ]);
  });

  it.each([
    ['no folders', [], '--in and --out are both needed.'],
    ['an unknown option', ['--from', 'x'], "Unknown option '--from'"],
    [
      'a folder that is not there',
      ['--in', '/nowhere/at/all', '--out', '/tmp/x'],
      'There is no folder /nowhere/at/all.',
    ],
  ])('exits with 2 and the usage on %s', (_, args, says) => {
    const { code, err } = recalc(...args);
    expect(code).toBe(2);
    expect(err.split('\n')[0]).toContain(says);
    expect(err).toContain('Usage: npm run recalc');
  });

  it('exits with 1 where nothing could be read, one line a file', async () => {
    const { code, err } = recalc(
      '--in',
      await lay({ 'colours.csv': 'colour,weight\nred,3\n', 'empty.csv': '' }),
      '--out',
      join(folder, 'out'),
    );
    expect(code).toBe(1);
    expect(err.trimEnd().split('\n')).toEqual([
      expect.stringContaining('colours/colours.csv: No table has these columns'),
      expect.stringContaining('empty/empty.csv: The file is empty.'),
      expect.stringContaining('could be read: it holds no table of a log.'),
    ]);
  });
});
