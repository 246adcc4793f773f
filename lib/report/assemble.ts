import { findingFacts } from '../calc/proof/findings';
import { formulas, type FormulaName } from '../calc/formulas/formulas';
import { ENGINE_VERSION } from '../calc/layout';
import { windowUnits } from '../words/labels';
import { assumedValues } from './assumed';
import { receivedAndLeft } from './beside';
import { judgedFigures } from './judged';
import type { JobParts } from './parts';
import { RECORD_FORMAT, RECORD_VERSION, type AuditRecord } from './record';
import { byKeys, figureTables, num, readingNames, specNames, tablesOf, txt, type Row } from './rows';
import { rules, scope } from './scope';
import { movedParts, stepsOf } from './steps';

/**
 * Puts a record together out of what the log answers. Pure: the same answers give the same record, in whatever order their rows come,
 * since numbers of names and the order of rows are a matter of how a log was loaded.
 */
export function assemble(given: JobParts): AuditRecord {
  const parts = inOrder(given);
  const judged = [...judgedFigures(parts)];
  return {
    format: RECORD_FORMAT,
    record_version: RECORD_VERSION,
    engine_version: ENGINE_VERSION,
    job: parts.card,
    specification: specificationOf(parts),
    gauges: parts.gauges.toSorted(
      byKeys((each) => [each.readings_of, each.instrument_id, each.calibrated_on, each.standing]),
    ),
    readings: tablesOf(readingNames, (name) => [...parts.readings[name]]),
    results: tablesOf(figureTables, (name) => [...parts.results[name]]),
    judged,
    rules,
    received_and_left: [...receivedAndLeft(parts)],
    moved: [...movedParts(parts)],
    steps: [...stepsOf(parts)],
    findings: findingsOf(parts),
    exclusions: exclusionsOf(parts),
    assumed: [...assumedValues(parts)],
    formulas: formulasOf(parts),
    sources: sourcesOf(parts),
    remarks: parts.remarks.toSorted(byKeys((each) => [each.remarked_on, each.remark_id])),
    ...(parts.summary === undefined ? {} : { summary: parts.summary }),
    scope,
  };
}

/** Place of a test point in the work: by the sheet's order, one that the sheet lacks after the others. */
const orderOf = (points: readonly Row[]): ((row: Row) => number) => {
  const orders = new Map(points.map((row) => [txt(row, 'test_point'), num(row, 'order') ?? 0]));
  return (row) => {
    const point = txt(row, 'test_point') ?? txt(row, 'low_test_point');
    return point === null ? -1 : (orders.get(point) ?? Number.MAX_SAFE_INTEGER);
  };
};

function inOrder(parts: JobParts): JobParts {
  const order = orderOf(parts.spec.test_points);
  const workOrder = byKeys<Row>((row) => [
    txt(row, 'stage') === 'governor' ? 1 : 0,
    order(row),
    txt(row, 'test_point') ?? txt(row, 'low_test_point'),
    txt(row, 'rated_test_point'),
    num(row, 'run'),
    txt(row, 'check_id'),
    num(row, 'element'),
    num(row, 'repeat'),
    num(row, 'speed_rpm') ?? num(row, 'at_rpm'),
    num(row, 'boost_kpa') ?? num(row, 'at_boost_kpa'),
    txt(row, 'lever') ?? txt(row, 'part'),
    num(row, 'low'),
    num(row, 'high'),
    num(row, 'rack_mm'),
    num(row, 'cam_deg'),
  ]);
  return {
    ...parts,
    spec: tablesOf(specNames, (name) => parts.spec[name].toSorted(workOrder)),
    readings: tablesOf(readingNames, (name) => parts.readings[name].toSorted(workOrder)),
    results: tablesOf(figureTables, (name) => parts.results[name].toSorted(workOrder)),
  };
}

function specificationOf(parts: JobParts): AuditRecord['specification'] {
  const [sheet] = parts.spec.sheet;
  if (sheet === undefined) throw new Error('A job is in the log only with its specification');
  const revisions = parts.revisions
    .map(({ used, in_force, ...each }) => ({ ...each, used: used === 'yes', in_force: in_force === 'yes' }))
    .toSorted(byKeys((each) => [each.valid_from, each.revision]));
  return {
    sheet,
    test_points: [...parts.spec.test_points],
    checks: [...parts.spec.checks],
    cam_lift: [...parts.spec.cam_lift],
    revisions,
    standing: standingOf(revisions),
  };
}

type Revision = AuditRecord['specification']['revisions'][number];

/** How the revision that was worked to stood on the day the pump came in. Without a first day it can't be told. */
function standingOf(revisions: readonly Revision[]): AuditRecord['specification']['standing'] {
  const used = revisions.find((each) => each.used);
  if (used === undefined || used.valid_from === null) return 'cannot be told';
  if (used.in_force) return 'in force';
  const { valid_from } = used;
  const newer = revisions.some((each) => each.in_force && (each.valid_from ?? '') > valid_from);
  return newer ? 'superseded' : 'not yet in force';
}

function findingsOf({ findings, evidence, spec }: JobParts): AuditRecord['findings'] {
  const order = orderOf(spec.test_points);
  const severity = ['breaks the proof', 'weakens the proof', 'for information'];
  return findings
    .map(({ finding, severity, run, test_point, element, stated, recomputed, rows }) => ({
      finding,
      severity,
      says: findingFacts[finding].says,
      run,
      test_point,
      element,
      stated,
      recomputed,
      rows,
      places: evidence
        .filter(
          (each) =>
            each.finding === finding && each.run === run && each.test_point === test_point && each.element === element,
        )
        .map(({ file, row_no, last_row_no, n }) => ({ file, row_no, last_row_no, n }))
        .toSorted(byKeys((each) => [each.file, each.row_no])),
    }))
    .toSorted(
      byKeys((each) => [
        severity.indexOf(each.severity),
        each.finding,
        each.run,
        order({ test_point: each.test_point }),
        each.test_point,
        each.element,
      ]),
    );
}

function exclusionsOf({ excluded, spec }: JobParts): AuditRecord['exclusions'] {
  const order = orderOf(spec.test_points);
  return excluded
    .map((each) => ({ ...each, unit: windowUnits[each.reason] }))
    .toSorted(
      byKeys((each) => [
        order({ test_point: each.test_point }),
        each.test_point,
        each.run,
        each.element,
        each.repeat,
        each.reason,
      ]),
    );
}

/** The formulas of all figures that the record has. */
function formulasOf({ results }: JobParts): AuditRecord['formulas'] {
  const filled = (column: string): boolean => {
    const [table = '', name = ''] = column.split('.');
    return figureTables.some(
      (each) => each === table && results[each].some((row) => row[name] !== null && row[name] !== undefined),
    );
  };
  return (Object.keys(formulas) as FormulaName[]).flatMap((name) => {
    const { symbol, text, meaning, source, columns } = formulas[name];
    const shown = columns.filter(filled);
    return shown.length === 0 ? [] : [{ name, symbol, text, meaning, source, columns: shown }];
  });
}

/** A workbook or a mapped sheet gives several tables and is one file. */
function sourcesOf({ sources }: JobParts): AuditRecord['sources'] {
  const files = new Map<string, AuditRecord['sources'][number]>();
  for (const { file, sha256, rows } of sources) {
    const key = JSON.stringify([file, sha256]);
    files.set(key, { file, sha256, rows: rows + (files.get(key)?.rows ?? 0) });
  }
  return [...files.values()].toSorted(byKeys((each) => [each.file, each.sha256]));
}
