import { z } from 'zod';
import { formulas, type FormulaName } from '../calc/formulas/formulas';
import { codes } from '../calc/layout';
import { units, type Unit } from '../units/units';
import { canonicalJson, sha256Hex } from './canonical';
import { supplies } from './many/reasons';
import { cardRows, figureRows, figureTables, readingRows, specRows, tablesOf } from './rows';

/**
 * The audit record of one job: what was read, with what, against which limits, and what follows from it. It says nothing of the
 * machine, the day or the place where it was made, so that the same log gives the same record anywhere.
 */

export const RECORD_FORMAT = 'shimbook audit record';
/** Raised whenever what a record holds, or how its sheet is laid out, changes. */
export const RECORD_VERSION = 3;

const text = z.string();
const maybeText = z.string().nullable();
const maybeReal = z.number().nullable();
const day = z.iso.date();
const verdict = z.enum(codes.verdict);
const unit = z.enum(Object.keys(units) as [Unit, ...Unit[]]);
const formula = z.enum(Object.keys(formulas) as [FormulaName, ...FormulaName[]]);

/** What a decision can be, in the words of the standards (ISO 14253-1, JCGM 106). */
export const decisions = ['conforms', 'does not conform', 'cannot be decided', 'not measured'] as const;
export const decisionRules = ['guarded', 'plain'] as const;

const place = { file: text, row_no: z.int() } as const;

/** Where in the job a figure belongs; what does not apply is empty. */
const spot = {
  run: z.int(),
  test_point: maybeText,
  check_id: maybeText,
  at_rpm: maybeReal,
  at_boost_kpa: maybeReal,
  element: z.int().nullable(),
} as const;

export const judgedSchema = z.strictObject({
  figure: text,
  ...spot,
  value: maybeReal,
  unit,
  low: maybeReal,
  high: maybeReal,
  /** Expanded, k = 2; empty where the gauge states none. */
  uncertainty: maybeReal,
  /** Plain comparison with the limits. */
  verdict,
  decision: z.enum(decisions),
  rule: z.enum(decisionRules),
  formula,
});
export type Judged = z.infer<typeof judgedSchema>;

export const besideSchema = z.strictObject({
  figure: text,
  ...spot,
  /** The last run in which its stage was measured; empty for a test point that the sheet does not have. */
  run: z.int().nullable(),
  unit,
  low: maybeReal,
  high: maybeReal,
  /** Run 0; empty where it was not measured then. */
  received: maybeReal,
  received_verdict: verdict,
  /** The run that `run` names. */
  left: maybeReal,
  left_verdict: verdict,
});
export type Beside = z.infer<typeof besideSchema>;

export const movedSchema = z.strictObject({
  what: z.enum(['shims', 'barrel']),
  /** Changed after the measurement of that run. */
  run: z.int(),
  element: z.int(),
  before: maybeReal,
  /** The other half of a split pair; empty where the stack is in one piece. */
  before_second: maybeReal,
  after: maybeReal,
  after_second: maybeReal,
  /** Of a split pair that of the mean of its halves, which may be none where both were changed. */
  change: maybeReal,
  planned: maybeReal,
  stated: maybeReal,
  unit,
  ...place,
});
export type Moved = z.infer<typeof movedSchema>;

export const stepSchema = z.strictObject({
  run: z.int(),
  what: z.enum(['closures read', 'shims changed', 'test point drawn', 'barrels turned', 'governor read']),
  test_point: maybeText,
  rows: z.int(),
  /** First and last time written down, in the shop's own time. */
  from: maybeText,
  to: maybeText,
  /** How its place among the steps is known. */
  known_by: z.enum(['time written down', 'run and order of work']),
});
export type Step = z.infer<typeof stepSchema>;

export const findingSchema = z.strictObject({
  finding: z.enum(codes.finding),
  severity: z.enum(codes.severity),
  says: text,
  /** -1 for the job as a whole. */
  run: z.int(),
  test_point: maybeText,
  /** 0 for none or several. */
  element: z.int(),
  stated: maybeReal,
  recomputed: maybeReal,
  rows: z.int(),
  places: z.array(z.strictObject({ file: text, row_no: z.int(), last_row_no: z.int().nullable(), n: z.int() })),
});

export const exclusionSchema = z.strictObject({
  run: z.int(),
  test_point: maybeText,
  element: z.int(),
  repeat: z.int(),
  reason: z.enum(codes.exclusion),
  reading: maybeReal,
  low: maybeReal,
  high: maybeReal,
  unit,
  ...place,
});

export const gaugeSchema = z.strictObject({
  readings_of: z.enum(['closures', 'draws']),
  instrument_id: maybeText,
  kind: maybeText,
  bench_id: maybeText,
  calibrated_on: day.nullable(),
  due_on: day.nullable(),
  expanded_uncertainty: maybeReal,
  unit: maybeText,
  standing: z.enum(['in date', 'past its date', 'without calibration', 'not listed', 'not written down']),
  readings: z.int(),
  first_day: day,
  last_day: day,
  file: maybeText,
  row_no: z.int().nullable(),
});

export const revisionStandings = ['in force', 'superseded', 'not yet in force', 'cannot be told'] as const;

const formulaSchema = z.strictObject({
  name: formula,
  symbol: text,
  text,
  meaning: text,
  source: text,
  columns: z.array(text),
});

export const assumedSchema = z.strictObject({ what: text, value: maybeReal, unit, basis: text });

export const remarkSchema = z.strictObject({
  remark_id: text,
  remarked_on: day,
  remark: text,
  author: maybeText,
});

/** Whether the record would hold: worked out elsewhere, and left out where it was not. */
export const summarySchema = z.strictObject({
  state: z.enum(['ready', 'ready with remarks', 'not ready']),
  reasons: z.array(z.strictObject({ code: text, says: text, supply: z.enum(supplies) })),
});
export type Summary = z.infer<typeof summarySchema>;

const results = tablesOf(figureTables, (table) => z.array(figureRows[table].row));

export const recordSchema = z.strictObject({
  format: z.literal(RECORD_FORMAT),
  record_version: z.literal(RECORD_VERSION),
  engine_version: z.int(),
  job: cardRows.row,
  specification: z.strictObject({
    sheet: specRows.sheet.row,
    test_points: z.array(specRows.test_points.row),
    checks: z.array(specRows.checks.row),
    cam_lift: z.array(specRows.cam_lift.row),
    revisions: z.array(
      z.strictObject({
        revision: text,
        valid_from: day.nullable(),
        used: z.boolean(),
        in_force: z.boolean(),
        ...place,
      }),
    ),
    standing: z.enum(revisionStandings),
  }),
  gauges: z.array(gaugeSchema),
  readings: z.strictObject({
    closures: z.array(readingRows.closures.row),
    shims: z.array(readingRows.shims.row),
    draws: z.array(readingRows.draws.row),
    barrels: z.array(readingRows.barrels.row),
    governor: z.array(readingRows.governor.row),
    parts: z.array(readingRows.parts.row),
  }),
  results: z.strictObject(results),
  judged: z.array(judgedSchema),
  rules: z.strictObject({ guarded: text, plain: text }),
  received_and_left: z.array(besideSchema),
  moved: z.array(movedSchema),
  steps: z.array(stepSchema),
  findings: z.array(findingSchema),
  exclusions: z.array(exclusionSchema),
  assumed: z.array(assumedSchema),
  formulas: z.array(formulaSchema),
  sources: z.array(z.strictObject({ file: text, sha256: z.string().regex(/^[0-9a-f]{64}$/), rows: z.int() })),
  remarks: z.array(remarkSchema),
  summary: summarySchema.optional(),
  scope: z.strictObject({
    not_known: z.array(text),
    cautions: z.array(text),
    decides: text,
  }),
});
export type AuditRecord = z.infer<typeof recordSchema>;

/** The record as its one text, and that text's SHA-256. */
export const recordJson = (record: AuditRecord): string => canonicalJson(record);
export const recordHash = (record: AuditRecord): string => sha256Hex(recordJson(record));
