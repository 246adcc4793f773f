import { csvParse } from 'd3-dsv';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { HeadlessLog } from '../../lib/headless/log';
import { buildRecord } from '../../lib/report/ask';
import { indexCsv, indexHtml, recordsArchive, type BatchOptions } from '../../lib/report/many/batch';
import { recordHtml } from '../../lib/report/html';
import { recordHash } from '../../lib/report/record';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

describe('the records of several jobs as one archive', () => {
  let log: HeadlessLog;
  beforeAll(async () => {
    log = await logOf(smallLog);
  });
  afterAll(() => log.db.close());
  const ask: Parameters<typeof buildRecord>[0] = (sql, params) => log.db.rows(sql, params);
  const unzipped = async (jobs: readonly string[], options: BatchOptions = { says: [] }) => {
    const batch = await recordsArchive(ask, jobs, options);
    return { batch, files: unzipSync(new Uint8Array(await batch.archive.arrayBuffer())) };
  };
  const textOf = (bytes: Uint8Array | undefined): string => new TextDecoder().decode(bytes);

  it('holds each record as it is saved alone, and a list with its state and hash', async () => {
    const { batch, files } = await unzipped(['J-1', 'J-9'], { says: ['One of two.'] });
    const record = await buildRecord(ask, 'J-1');
    if (record === null) throw new Error('No record');
    expect(batch).toMatchObject({ saved: 1, missing: ['J-9'] });
    const [row] = csvParse(textOf(files['index.csv']));
    expect(row).toMatchObject({ job: 'J-1', serial: 'S-1', model: 'Kestrel', record_sha256: recordHash(record) });
    expect(row?.state).toBe(record.summary?.state);
    expect(textOf(files[row?.file ?? ''])).toBe(recordHtml(record));
    const index = textOf(files['index.html']);
    for (const part of ['One of two.', row?.file, recordHash(record), 'ready with remarks'])
      expect(index).toContain(part);
  });

  it('is the same bytes each time', async () => {
    const bytes = async () =>
      new Uint8Array(await (await recordsArchive(ask, ['J-1'], { says: [] })).archive.arrayBuffer());
    expect(await bytes()).toEqual(await bytes());
  });

  it('tells how far it is, and ends where it is called off', async () => {
    const told: number[] = [];
    const calling = new AbortController();
    const options: BatchOptions = {
      says: [],
      signal: calling.signal,
      onProgress: (done) => {
        told.push(done);
        if (done === 1) calling.abort();
      },
    };
    await expect(recordsArchive(ask, ['J-1', 'J-1', 'J-1'], options)).rejects.toThrow(/abort/i);
    expect(told).toEqual([0, 1]);
  });

  it('lists names that are formulas or markup as text', () => {
    const row = {
      job: '=1+1',
      serial: '<b>',
      claim: '@W',
      model: '"',
      finished: '',
      state: 'ready',
      hash: 'ab',
      path: 'records/a.html',
    };
    expect(csvParse(indexCsv([row]))[0]).toMatchObject({ job: "'=1+1", serial: '<b>', claim: "'@W" });
    expect(indexHtml([row], ['<script>'])).not.toMatch(/<b>|<script>/);
  });
});
