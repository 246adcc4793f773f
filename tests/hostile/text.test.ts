import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { csvParseRows } from 'd3-dsv';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { listings, results, writeTable } from '../../lib/headless/write';
import { inspect } from '../../lib/log/inspect';
import { guarded, mendCsv } from '../../lib/log/mend';
import { tables } from '../../lib/log/tables';
import { load } from '../../lib/store/load';
import { NativeDatabase } from '../../lib/store/native/database';
import type { Replacement } from '../../lib/store/replacements';
import { replacementsCsv } from '../../lib/store/replacementsCsv';
import { spreadsheetSafe } from '../../lib/store/tables';
import { logOf, textFile } from '../store/openLog';
import { smallLogWith } from '../store/smallLog';
import { rowsOf } from '../store/mending';

/** Text that would be run, or read as another text, by whoever takes it for more than text. */

const beginnings = ['=', '+', '-', '@', '\t', '\r', '\n', '\uff1d', '\uff0b', '\uff0d', '\uff20', ' =', '\u00a0@', '\ufeff=', "'", "'=", '-1', '+1e5', '"', '']; // prettier-ignore
const hostile = fc
  .tuple(
    fc.constantFrom(...beginnings),
    fc.constantFrom('cmd|x', '1+1', '<b>', '"a",b', "'); drop table jobs; --", '\u202e1-J', '1\n=2', '12', '-nan', ''),
  )
  .map((parts) => parts.join(''));

/** Whether a spreadsheet would work the cell out; written apart from lib/log/mend.ts. */
function runs(cell: string): boolean {
  const first = cell
    .replace(/^[\s\u00a0\ufeff]+/, '')
    .normalize('NFKC')
    .charAt(0);
  const isNumber = /^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i.test(cell);
  return (['=', '+', '-', '@'].includes(first) && !isNumber) || /^[\t\r\n]/.test(cell);
}
const running = (csv: string): string[] => csvParseRows(csv).flat().filter(runs);

describe('no cell of a file that is saved or exported is run by a spreadsheet', () => {
  it('knows a formula when it sees one', () => {
    expect(['=1', '＝1', ' @x', '-x', '\tx', '-nan'].filter((cell) => !runs(cell))).toEqual([]);
    expect(['-1', '+1e5', 'x=1', "'=1", ''].filter(runs)).toEqual([]);
  });

  it('of rows to mend', () => {
    const { instruments } = tables;
    fc.assert(
      fc.property(
        fc.array(fc.record({ instrument_id: hostile, bench_id: hostile, set_aside_file: hostile })),
        (rows) => {
          expect(running(mendCsv(instruments, rows))).toEqual([]);
        },
      ),
    );
  });

  it('of rows to be replaced', () => {
    const change = fc.record({ column: fc.constant('kind'), was: fc.option(hostile), is: fc.option(hostile) });
    const where = fc.record({ file: hostile, row: fc.nat() });
    const replacement: fc.Arbitrary<Replacement> = fc.record({
      table: fc.constant('jobs' as const),
      key: fc.array(hostile, { maxLength: 3 }),
      changes: fc.array(change, { maxLength: 3 }),
      was: where,
      is: where,
    });
    fc.assert(
      fc.property(fc.array(replacement, { maxLength: 4 }), (found) => {
        expect(running(replacementsCsv(found))).toEqual([]);
      }),
    );
  });

  it('of the recalculated log: the database guards the same cells as the page does', async () => {
    const db = await NativeDatabase.open(1);
    const cells = fc.sample(fc.oneof(hostile, fc.string(), fc.string({ unit: 'binary' })), 2000);
    const written = await db.rows(
      `select ${spreadsheetSafe('c')} as c from (select unnest($1::json::varchar[]) as c)`,
      [JSON.stringify(cells.map((cell) => cell.replaceAll('\0', '')))],
    );
    const made = written.map((row) => String(row.c));
    expect(made).toHaveLength(cells.length);
    expect(made.filter(runs)).toEqual([]);
    const plain = cells.map((cell) => cell.replaceAll('\0', '')).filter((cell) => !cell.startsWith("'"));
    expect(made.filter((_, i) => !cells[i]?.startsWith("'"))).toEqual(plain.map(guarded));
  });

  it('of the recalculated log, in the files themselves', async () => {
    const bad = '=cmd|x!A1';
    const files = Object.fromEntries(
      Object.entries(
        smallLogWith('draws.csv', (text) => `${text}${bad},1,full,1,1,40,500\nJ-1,1,${bad},1,1,"=2,5",500\n`),
      ).map(([name, text]) => [`+${name}`, text.replaceAll('J-1', '@J-1')]),
    );
    const { db } = await logOf({ ...files, '=empty.csv': '' });
    const folder = mkdtempSync(join(tmpdir(), 'hostile-'));
    try {
      for (const table of [...results, ...listings()]) {
        const { name } = await writeTable(db, table, 'csv', folder);
        const text = readFileSync(join(folder, name), 'utf8');
        expect(running(text), name).toEqual([]);
        if (name === 'files.csv') expect(text).toContain("'=empty.csv");
        if (name === 'set_aside.csv') expect(text).toContain(`'${bad}`);
      }
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});

describe('cells are text', () => {
  const nasty = [
    `<img src=x onerror=alert(1)>`,
    `'); drop table held_jobs; --`,
    '=HYPERLINK("http://x","y")',
    'J\u202e1-\u202c',
    'J\u200b-1',
    'a\u0007\u001b[31mb',
    '${1+1}{{7*7}}',
    '%s%n%00',
    '../../etc/passwd',
    '\u0130\ufb03\ud83d\ude00',
  ];

  it('markup, SQL, formulas, control characters and marks of direction come back as they were', async () => {
    const rows = nasty.map(
      (cell, i) =>
        `"${`${i}${cell}`.replaceAll('"', '""')}",S,Kestrel,K-1,A,2024-03-05,test,"${cell.replaceAll('"', '""')}"`,
    );
    const { db } = await logOf(smallLogWith('jobs.csv', (text) => `${text}${rows.join('\n')}\n`));
    const found = await db.rows(`select job_id, bench_id from jobs where job_id <> 'J-1'`);
    expect(found.map((row) => String(row.bench_id)).sort()).toEqual([...nasty].sort());
    expect(found.map((row) => String(row.job_id)).sort()).toEqual(nasty.map((cell, i) => `${i}${cell}`).sort());
  });

  it('in a header are named and not used, nor are they SQL', async () => {
    const header = nasty.filter((each) => !each.includes(',')).map((each) => `"${each.replaceAll('"', '""')}"`);
    const { db, files } = await logOf(
      smallLogWith('instruments.csv', (text) => text.replace('due_on\n', `due_on,${header.join(',')}\n`)),
    );
    expect(files.find((file) => file.file === 'instruments.csv')).toMatchObject({ accepted: 1, refused: null });
    expect(await db.rows('select count(*)::integer as n from jobs')).toEqual([{ n: 1 }]);
  });

  it('in the name of a file are that name, and a row of it can be mended', async () => {
    for (const name of nasty) {
      const { db } = await logOf({ [name]: 'job_id,run,element,cam_deg\nJ-1,1,0,0\n' });
      expect(await db.rows('select file from sources')).toEqual([{ file: name }]);
      const waiting = await rowsOf(db, 'closures');
      const text = mendCsv(
        tables.closures,
        waiting.map((row) => ({ ...row, element: '1' })),
      );
      await load(db, [textFile('m.csv', text)], { inspect, at: '2026-01-02 08:00:00' });
      const [sums] = await db.rows(`select rows_mended from sources where file = $1`, [name]);
      expect(sums, name).toEqual({ rows_mended: 1 });
      await db.close();
    }
  });
});
