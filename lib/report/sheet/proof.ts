import { formulas } from '../../calc/formulas/formulas';
import { inLogUnits } from '../../words/figures';
import { isOwn, supplyWords } from '../many/reasons';
import { evidencePlace, findingFigures, findingSays, proofSentence } from '../../words/plan';
import type { AuditRecord, Beside, Judged } from '../record';
import { num, txt } from '../rows';
import {
  element,
  facts,
  list,
  marked,
  paragraph,
  section,
  shown,
  table,
  type Mark,
  type SheetColumn,
  type SheetElement,
  type SheetNode,
} from './nodes';
import { asRead, dayWord, decisionWord, placeWord, plain, runWord, uncertainty, verdictWord } from './words';
import { verdictOf } from '../judged';

/** What an auditor looks for first: the answers, what stands against them, the figures behind them. */

const asDecision = {
  in: 'conforms',
  out: 'does not conform',
  'cannot tell': 'cannot be decided',
  'not measured': 'not measured',
} as const;

function gaugesAnswer({ gauges }: AuditRecord): SheetElement {
  const bad = gauges.filter(({ standing }) => standing === 'past its date' || standing === 'without calibration');
  const unknown = gauges.filter(({ standing }) => standing === 'not listed' || standing === 'not written down');
  if (bad.length > 0) return marked('bad', 'not all in date');
  if (gauges.length === 0) return marked('none', 'no readings');
  return unknown.length > 0 ? marked('open', 'not known for all readings') : marked('good', 'all in date');
}

const standings: Readonly<Record<AuditRecord['specification']['standing'], Mark>> = {
  'in force': 'good',
  superseded: 'bad',
  'not yet in force': 'bad',
  'cannot be told': 'open',
};

const OF_ORDER = /out of order|after the last/;

function orderAnswer({ findings, steps }: AuditRecord): SheetElement {
  if (findings.some(({ finding }) => OF_ORDER.test(finding))) return marked('bad', 'not in order, see the findings');
  if (steps.length === 0) return marked('none', 'nothing was done');
  const timed = steps.filter(({ what }) => what === 'test point drawn');
  return timed.length > 0 && timed.every(({ known_by }) => known_by === 'time written down')
    ? marked('good', 'test points in order by their times; of other steps the log tells no time')
    : marked('open', 'nothing found out of order; not every draw has a time, and other steps have none');
}

export function answers(record: AuditRecord): SheetElement {
  const [outcome] = record.results.outcomes;
  const count = (severity: string): number => record.findings.filter((each) => each.severity === severity).length;
  const breaking = count('breaks the proof');
  const weakening = count('weakens the proof');
  const ready = record.summary;
  return section(
    'In short',
    facts([
      ...(ready === undefined
        ? []
        : ([
            [
              'State of the record',
              marked(ready.state === 'not ready' ? 'bad' : ready.state === 'ready' ? 'good' : 'open', ready.state),
            ],
          ] as const)),
      ['Left in specification, plain comparison', verdictWord(verdictOf(outcome, 'as_left'))],
      ['Left in specification, with uncertainty', decisionWord(asDecision[verdictOf(outcome, 'as_left_decision')])],
      ['Gauges in date', gaugesAnswer(record)],
      ['Steps in order', orderAnswer(record)],
      ['Revision worked to', marked(standings[record.specification.standing], record.specification.standing)],
      ['Result on the card', plain(record.job.stated_result)],
    ]),
    paragraph(proofSentence(breaking, weakening, ready?.reasons.some(({ code }) => isOwn(code)) ?? false)),
    ...(ready === undefined || ready.reasons.length === 0
      ? []
      : [
          table<(typeof ready.reasons)[number]>(
            'What is missing or wrong',
            [
              { head: 'Reason', cell: (each) => each.says },
              { head: 'Can still be supplied', cell: (each) => supplyWords[each.supply] },
            ],
            ready.reasons,
          ),
        ]),
  );
}

const severityMarks = { 'breaks the proof': 'bad', 'weakens the proof': 'open', 'for information': 'none' } as const;

function whereabouts({ run, test_point, element: number }: AuditRecord['findings'][number]): string {
  const parts = [
    ...(run < 0 ? [] : [`run ${run}`]),
    ...(test_point === null ? [] : [shown(test_point)]),
    ...(number === 0 ? [] : [`element ${number}`]),
  ];
  return parts.length === 0 ? 'the job as a whole' : parts.join(', ');
}

export const findings = ({ findings: found }: AuditRecord): SheetElement =>
  section(
    'Recorded against recomputed',
    table<AuditRecord['findings'][number]>(
      'Findings',
      [
        { head: 'What it means', cell: (each) => marked(severityMarks[each.severity], each.severity) },
        { head: 'Finding', cell: (each) => findingSays(each.finding, inLogUnits) },
        { head: 'Where', cell: whereabouts },
        { head: 'Figures', cell: (each) => findingFigures(each, inLogUnits) || '–' },
        {
          head: 'Stands in',
          cell: (each) =>
            each.places.map((place) => evidencePlace({ ...place, file: shown(place.file) })).join('; ') || '–',
        },
      ],
      found,
      'Nothing in this job disagrees.',
    ),
  );

function spotWord(each: Judged | Beside): string {
  const parts = [
    ...(each.test_point === null ? [] : [shown(each.test_point)]),
    ...(each.check_id === null ? [] : [shown(each.check_id)]),
    ...(each.at_rpm === null ? [] : [`at ${asRead(each.at_rpm)} rpm`]),
    ...(each.at_boost_kpa === null ? [] : [`at ${asRead(each.at_boost_kpa)} kPa`]),
    ...(each.element === null ? [] : [`element ${each.element}`]),
  ];
  return parts.join(', ') || '–';
}

const what: SheetColumn<Judged | Beside> = { head: 'Figure', cell: (each) => each.figure };
const where: SheetColumn<Judged | Beside> = { head: 'Where', cell: spotWord, kind: 'free' };

const BARE = { bare: true } as const;
const judgedBand = (each: Judged): { readonly value: string; readonly band: string } =>
  inLogUnits.beside(each.value, [each.low, each.high], each.unit, BARE);
const inUnit: SheetColumn<Judged | Beside> = {
  head: 'Unit',
  cell: (each) => inLogUnits.symbol(each.unit),
  kind: 'line',
};

export const judged = (record: AuditRecord): SheetElement =>
  section(
    'Figures held against limits',
    paragraph('Rule G: ', record.rules.guarded),
    paragraph('Rule P: ', record.rules.plain),
    paragraph('By: the symbol of its formula, which stands under Formulas and files.'),
    table<Judged>(
      'Figures and decisions',
      [
        { head: 'Run', cell: ({ run }) => runWord(run) },
        what,
        where,
        { head: 'Value', cell: (each) => judgedBand(each).value, kind: 'figure' },
        { head: 'Limits', cell: (each) => judgedBand(each).band, kind: 'line' },
        { head: 'U (k = 2)', cell: (each) => uncertainty(each.uncertainty, each.unit), kind: 'figure' },
        inUnit,
        { head: 'Plain', cell: (each) => verdictWord(each.verdict) },
        { head: 'Decision', cell: (each) => decisionWord(each.decision) },
        { head: 'Rule', cell: ({ rule }) => (rule === 'guarded' ? 'G' : 'P') },
        { head: 'By', cell: (each) => formulas[each.formula].symbol },
      ],
      record.judged,
      'No figure was held against a limit.',
    ),
  );

export const beside = (record: AuditRecord): SheetElement =>
  section(
    'As received and as left',
    table<Beside>(
      'As received beside as left',
      [
        what,
        where,
        {
          head: 'As received',
          cell: (each) => inLogUnits.beside(each.received, [each.low, each.high], each.unit, BARE).value,
          kind: 'figure',
        },
        { head: 'Then', cell: (each) => verdictWord(each.received_verdict) },
        {
          head: 'As left',
          cell: (each) => inLogUnits.beside(each.left, [each.low, each.high], each.unit, BARE).value,
          kind: 'figure',
        },
        { head: 'Then', cell: (each) => verdictWord(each.left_verdict) },
        {
          head: 'Limits',
          cell: (each) => inLogUnits.beside(null, [each.low, each.high], each.unit, BARE).band,
          kind: 'line',
        },
        inUnit,
        { head: 'Run left', cell: ({ run }) => runWord(run) },
      ],
      record.received_and_left,
      'Nothing was measured.',
    ),
  );

const KEYS = ['file', 'row_no'];

export function card(record: AuditRecord, label: (name: string) => string): SheetElement {
  const names = Object.keys(record.job).filter((name) => !KEYS.includes(name) && record.job[name] !== null);
  const order = (name: string): number => CARD_ORDER.indexOf(name);
  return section(
    'Job card',
    facts([
      ...names
        .toSorted((a, b) => order(a) - order(b))
        .map((name): readonly [string, SheetNode] => [label(name), plain(record.job[name])]),
      ['Stands in', placeWord(txt(record.job, 'file'), num(record.job, 'row_no'))],
    ]),
  );
}

const CARD_ORDER = [
  ...['job_id', 'pump_serial', 'pump_model', 'received_on', 'finished_on', 'work_type', 'warranty', 'claim_no'],
  ...['complaint', 'spec_id', 'spec_revision', 'bench_id', 'engine_hours', 'branch', 'stated_result', 'note'],
];

export const gauges = (record: AuditRecord): SheetElement =>
  section(
    'Gauges',
    table<AuditRecord['gauges'][number]>(
      'Gauges and their calibration on the day',
      [
        { head: 'Gauge', cell: (each) => shown(each.instrument_id), kind: 'free' },
        { head: 'Kind', cell: (each) => shown(each.kind), kind: 'free' },
        { head: 'Read', cell: (each) => `${each.readings} ${each.readings_of}` },
        {
          head: 'On',
          cell: (each) => (each.first_day === each.last_day ? each.first_day : `${each.first_day} to ${each.last_day}`),
        },
        { head: 'Calibrated', cell: (each) => dayWord(each.calibrated_on), kind: 'line' },
        { head: 'Due', cell: (each) => dayWord(each.due_on), kind: 'line' },
        {
          head: 'U (k = 2)',
          cell: (each) =>
            each.expanded_uncertainty === null
              ? 'not stated'
              : `${asRead(each.expanded_uncertainty)} ${shown(each.unit ?? '')}`.trimEnd(),
          kind: 'figure',
        },
        { head: 'Standing', cell: (each) => marked(gaugeMarks[each.standing], each.standing) },
        { head: 'Stands in', cell: (each) => placeWord(each.file, each.row_no), kind: 'free' },
      ],
      record.gauges,
      'No reading with a gauge.',
    ),
  );

const gaugeMarks: Readonly<Record<AuditRecord['gauges'][number]['standing'], Mark>> = {
  'in date': 'good',
  'past its date': 'bad',
  'without calibration': 'bad',
  'not listed': 'open',
  'not written down': 'open',
};

export const closing = (record: AuditRecord): readonly SheetElement[] => [
  section(
    'Remarks',
    table<AuditRecord['remarks'][number]>(
      'Remarks',
      [
        { head: 'On', cell: (each) => each.remarked_on },
        { head: 'By', cell: (each) => shown(each.author) },
        { head: 'Remark', cell: (each) => element('span', { class: 'as-written' }, shown(each.remark)) },
      ],
      record.remarks,
    ),
  ),
  section('What this record does not know', list(record.scope.not_known)),
  section('Before you act on a figure', paragraph(record.scope.decides), list(record.scope.cautions)),
];
