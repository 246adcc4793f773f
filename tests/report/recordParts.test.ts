import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { HeadlessLog } from '../../lib/headless/log';
import { canonicalJson } from '../../lib/report/canonical';
import { htmlOf } from '../../lib/report/html';
import { recordHash, type AuditRecord } from '../../lib/report/record';
import { sheetOf } from '../../lib/report/sheet/sheet';
import { logOf } from '../store/openLog';
import { auditLog, auditLogWith, recordOf } from './auditLog';

const recordWith = async (files: Readonly<Record<string, string>>): Promise<AuditRecord> => {
  const log = await logOf(files);
  const record = await recordOf(log);
  await log.db.close();
  return record;
};
const sheetHtml = (record: AuditRecord): string => htmlOf(sheetOf(record, recordHash(record))).replaceAll('\n', '');

const REMARKS = `remark_id,job_id,remarked_on,remark,author,withdrawn
2,J-1,2024-06-02,Certificate of D-1 was brought.,A. Auditor,
1,J-1,2024-06-01,"Where is the certificate
of D-1?",,
3,J-1,2024-06-03,Wrong job.,,
3,J-1,2024-06-03,Wrong job.,,yes
`;

let log: HeadlessLog;
let plain: AuditRecord;
/** Of a sheet that asks for no spread at the low point, where each delivery is held against the band instead. */
let banded: AuditRecord;
beforeAll(async () => {
  log = await logOf(auditLog);
  plain = await recordOf(log);
  banded = await recordWith(auditLogWith('test_points.csv', (text) => text.replace('66,74,6,range_mm3', '66,74,,')));
});
afterAll(() => log.db.close());

describe('remarks in a record', () => {
  it('stand with their day in the order of their days; one that was taken back does not', async () => {
    const record = await recordWith({ ...auditLog, 'remarks.csv': REMARKS });
    expect(record.remarks).toEqual([
      { remark_id: '1', remarked_on: '2024-06-01', remark: 'Where is the certificate\nof D-1?', author: null },
      { remark_id: '2', remarked_on: '2024-06-02', remark: 'Certificate of D-1 was brought.', author: 'A. Auditor' },
    ]);
    const html = sheetHtml(record);
    expect(html).toContain('<td>2024-06-02</td><td>A. Auditor</td>');
    expect(html).not.toContain('Wrong job.');
  });

  it('change no other byte but the list of files', async () => {
    const record = await recordWith({ ...auditLog, 'remarks.csv': REMARKS });
    const without = (each: AuditRecord): string =>
      canonicalJson({
        ...each,
        remarks: [],
        sources: each.sources.filter(({ file }) => file !== 'remarks.csv'),
      });
    expect(without(record)).toBe(without(plain));
    expect(recordHash(record)).not.toBe(recordHash(plain));
  });
});

describe('a split pair in a record', () => {
  // The pair of element 2 is made even at the height it had: both halves change, their mean does not.
  const pairs = {
    ...auditLog,
    'shims.csv': `job_id,run,element,before_mm,after_mm,before_second_mm,after_second_mm
J-1,1,2,1.00,1.10,1.20,1.10
J-1,1,3,1.20,1.05,,
J-1,1,4,1.30,,1.31,
`,
  };

  it('stands with both halves before and after, a stack in one piece with its one figure', async () => {
    const record = await recordWith(pairs);
    expect(record.moved.filter(({ what }) => what === 'shims')).toMatchObject([
      {
        element: 2,
        before: 1,
        before_second: 1.2,
        after: 1.1,
        after_second: 1.1,
        change: expect.closeTo(0, 9) as number,
      },
      { element: 3, before: 1.2, before_second: null, after: 1.05, after_second: null },
      { element: 4, before: 1.3, before_second: 1.31, after: null, after_second: null, change: null },
    ]);
    const html = sheetHtml(record);
    const moved = html.slice(html.indexOf('Shims and barrels moved'), html.indexOf('<h2>Left out and assumed'));
    const cells = [...moved.matchAll(/<td>shims<\/td><td[^>]*>([^<]*)<\/td><td[^>]*>([^<]*)<\/td>/g)];
    expect(cells.map(([, before, after]) => [before, after])).toEqual([
      ['1 + 1.2', '1.1 + 1.1'],
      ['1.2', '1.05'],
      ['1.3 + 1.31', '–'],
    ]);
  });
});

describe('what a record rests on', () => {
  it('is named with the SHA-256 that Node gives of each file', () => {
    expect(plain.sources.length).toBeGreaterThan(5);
    for (const { file, sha256 } of plain.sources) {
      expect([file, sha256]).toEqual([
        file,
        createHash('sha256')
          .update(auditLog[file] ?? '')
          .digest('hex'),
      ]);
    }
  });

  // By the sections of docs/method.md: which symbol each figure that is held against a limit is worked out by.
  it.each([
    ['lift to port closure', 'h', 'Lift at closure'],
    ['phase error', 'e', 'Phase error'],
    ['delivery', 'q', 'Delivery'],
    ['mean delivery', 'q̄', 'Mean'],
    ['spread', 'S', 'Spread'],
    ['governor or accessory', 'value', 'Found'],
  ])(
    '%s is worked out by %s, which stands beside the figure and among the formulas with its source',
    (name, symbol, head) => {
      const judged = banded.judged.filter(({ figure }) => figure === name);
      expect(judged.length).toBeGreaterThan(0);
      const [formula] = banded.formulas.filter((each) => each.name === judged[0]?.formula);
      expect(new Set(judged.map((each) => each.formula)).size).toBe(1);
      expect(formula?.symbol).toBe(symbol);
      const html = sheetHtml(banded);
      const held = html.slice(html.indexOf('Figures and decisions</caption>'), html.indexOf('<h2>What was done'));
      expect(held).toMatch(new RegExp(`<td>${name}</td>(?:(?!</tr>).)*<td>${symbol}</td></tr>`));
      const rows = html.slice(html.indexOf('<h2>Formulas and files')).split('<tr>');
      const printed = rows.find(
        (row) => row.startsWith(`<td>${symbol}</td>`) && new RegExp(`<td>${head}(, |</td>)`).test(row),
      );
      expect(printed).toContain(`<td>${(formula?.source ?? 'none').replaceAll("'", '&#39;')}</td>`);
    },
  );

  it('tells no figure held against a limit that the list above leaves out', () => {
    expect(new Set(banded.judged.map(({ figure }) => figure)).size).toBe(6);
  });
});

describe('gauges on both sides of a calibration', () => {
  /** Draws at the full point a day before the graduate was calibrated again, those at the low point a day after. */
  const bothSides = auditLogWith('draws.csv', (text) =>
    text.replaceAll(/(J-1,1,full.*)2024-03-04/g, '$12024-03-03').replaceAll(/(J-1,1,low.*)2024-03-04/g, '$12024-03-05'),
  );

  it('are listed by calibration, each with its own due date, uncertainty, days and row', async () => {
    const { gauges } = await recordWith(bothSides);
    expect(gauges.filter(({ instrument_id }) => instrument_id === 'G-1')).toMatchObject([
      {
        ...{ calibrated_on: '2023-03-04', due_on: '2024-03-04', expanded_uncertainty: 0.4, standing: 'in date' },
        ...{ readings: 5, first_day: '2024-03-03', last_day: '2024-03-03', file: 'instruments.csv', row_no: 2 },
      },
      {
        ...{ calibrated_on: '2024-03-04', due_on: '2025-03-04', expanded_uncertainty: 0.5, standing: 'in date' },
        ...{ readings: 3, first_day: '2024-03-05', last_day: '2024-03-05', file: 'instruments.csv', row_no: 3 },
      },
    ]);
  });

  it('bear on the figures by the calibration of the day', async () => {
    const { judged } = await recordWith(bothSides);
    const mean = (point: string) =>
      judged.find(({ figure, test_point }) => figure === 'mean delivery' && test_point === point)?.uncertainty;
    // 1000 mm3/cm3 over 500 strokes: 0.4 cm3 is 0.8 mm3/stroke.
    expect(mean('full')).toBeCloseTo(0.8, 9);
  });

  // Closures carry no time: they go by the day the pump came in, so the two sides are two days of one job.
  const closedOn = (day: string, instrument: string, unit: string): Promise<AuditRecord> =>
    recordWith({
      ...auditLogWith('jobs.csv', (text) => text.replace('2024-03-04', day)),
      'closures.csv': (auditLog['closures.csv'] ?? '').replaceAll('D-1', instrument),
      'instruments.csv': `instrument_id,kind,calibrated_on,due_on,expanded_uncertainty,unit
${instrument},gauge,2023-03-10,2024-03-10,0.1,${unit}
${instrument},gauge,2024-03-10,2025-03-10,0.2,${unit}
`,
    });
  const sides = [
    { day: '2024-03-09', calibrated_on: '2023-03-10', due_on: '2024-03-10', expanded_uncertainty: 0.1, row_no: 2 },
    { day: '2024-03-10', calibrated_on: '2024-03-10', due_on: '2025-03-10', expanded_uncertainty: 0.2, row_no: 3 },
  ];
  it.each(sides)('of a protractor read on $day give phase errors their uncertainty', async ({ day, ...gauge }) => {
    const { gauges, judged } = await closedOn(day, 'P-1', 'cam_deg');
    expect(gauges.filter(({ readings_of }) => readings_of === 'closures')).toMatchObject([
      { ...gauge, unit: 'cam_deg', standing: 'in date', readings: 12, first_day: day, last_day: day },
    ]);
    const errors = judged.filter(({ figure, element }) => figure === 'phase error' && element !== 1);
    expect(errors.length).toBeGreaterThan(0);
    // An error is the difference of two readings: sqrt(U^2 + U^2).
    for (const { uncertainty } of errors) expect(uncertainty).toBeCloseTo(gauge.expanded_uncertainty * Math.SQRT2, 9);
  });

  it.each(sides)('of a dial gauge read on $day give the lift its uncertainty', async ({ day, ...gauge }) => {
    const { gauges, judged } = await closedOn(day, 'D-1', 'mm');
    expect(gauges.filter(({ readings_of }) => readings_of === 'closures')).toMatchObject([
      { ...gauge, unit: 'mm', standing: 'in date' },
    ]);
    const lifts = judged.filter(({ figure }) => figure === 'lift to port closure');
    expect(lifts.length).toBeGreaterThan(0);
    // One reading: its own uncertainty.
    for (const { uncertainty } of lifts) expect(uncertainty).toBeCloseTo(gauge.expanded_uncertainty, 9);
  });

  it('are past their date on the very day they are due, and in date the day before', async () => {
    const standing = async (due: string) =>
      (
        await recordWith(auditLogWith('instruments.csv', (text) => text.replace('2024-03-01,0.02', `${due},0.02`)))
      ).gauges
        .filter(({ instrument_id }) => instrument_id === 'D-1')
        .map((each) => [each.due_on, each.standing]);
    expect(await standing('2024-03-04')).toEqual([['2024-03-04', 'past its date']]);
    expect(await standing('2024-03-05')).toEqual([['2024-03-05', 'in date']]);
  });
});
