import {
  draftMapping,
  type Decisions,
  type Draft,
  type ProposedTarget,
  type Proposal,
} from '../../../lib/log/mapping/propose';
import type { Confidence } from '../../../lib/log/mapping/evidence';
import { normalName, type Source } from '../../../lib/log/mapping/mapping';
import { ownUnit, unitsFor, type SourceUnit } from '../../../lib/log/mapping/units';
import type { Column, LogTable, TableName } from '../../../lib/log/table';
import { tables } from '../../../lib/log/tables';

/** What a person decides of a proposal: a line for each thing in the sheet that may stand for a column of the log. */
export interface Line {
  readonly id: string;
  readonly source: Source;
  /** The column of the log; null where the line is left out. */
  readonly to: { readonly table: TableName; readonly column: string } | null;
  readonly confidence: Confidence;
  readonly why: string;
  /** Whether a person has set it. */
  readonly decided: boolean;
}

export type Measured = Extract<Source, { from: 'header' | 'elements' }>;
export const isMeasured = (source: Source): source is Measured =>
  source.from === 'header' || source.from === 'elements';

/** The line's place in the sheet, as the person knows it. */
export function saysOf({ source, to }: Line): string {
  switch (source.from) {
    case 'header':
      return source.header;
    case 'elements':
      return source.pattern ?? Object.values(source.headers ?? {}).join(', ');
    case 'element':
      return "the column's number";
    case 'constant':
      return `${to?.table ?? ''}.${to?.column ?? ''}, the same in every row`;
  }
}

export const columnAt = (to: Line['to']): Column | undefined => {
  if (to === null) return undefined;
  const table: LogTable = tables[to.table];
  return table.columns.find((column) => column.name === to.column);
};

/** The units a line's figures may be in; none where there is nothing to choose. */
export function unitsOf(line: Line): readonly SourceUnit[] {
  if (!isMeasured(line.source)) return [];
  const fit = unitsFor(columnAt(line.to)?.unit ?? null);
  return fit.length > 1 ? fit : [];
}

export function linesOf(proposal: Proposal): readonly Line[] {
  const proposed = proposal.targets.flatMap((target) => [
    ...target.columns.map(({ column, source, confidence, why }): Line => ({
      id: `${target.table}.${column}`,
      source,
      to: { table: target.table, column },
      confidence,
      why,
      decided: false,
    })),
    ...target.lacking.map((column) => constantLine(target.table, column)),
  ]);
  const unused = proposal.unused.map((header, i): Line => ({
    id: `unused ${i}`,
    source: { from: 'header', header: header.trim() },
    to: null,
    confidence: 'unsure',
    why: 'Nothing was made of it; it is left out.',
    decided: true,
  }));
  return [...proposed, ...unused];
}

const constantLine = (table: TableName, column: string): Line => ({
  id: `${table}.${column} stated`,
  source: { from: 'constant', value: '' },
  to: { table, column },
  confidence: 'open',
  why: 'No column of the sheet stands for it: state it here, or choose it for a column.',
  decided: false,
});

/** A table chosen by hand where the headers tell of none: every required column is still to be had. */
export function chosenTarget(table: TableName): ProposedTarget {
  const chosen: LogTable = tables[table];
  const lacking = chosen.columns.filter((column) => column.required).map((column) => column.name);
  return { table, shape: 'a row a reading', rows: 'each', onlyWhere: null, columns: [], lacking };
}

/** The line standing for another column; figures of a unit that does not fit there are taken to be in the log's own. */
export function moved(line: Line, to: Line['to']): Line {
  const unit = columnAt(to)?.unit ?? null;
  if (!isMeasured(line.source)) return { ...line, to, decided: true };
  const { unit: stated } = line.source;
  const own = stated !== undefined && unitsFor(unit).includes(stated) ? stated : ownUnit(unit);
  return { ...line, to, source: { ...placeOf(line.source), ...(own === null ? {} : { unit: own }) }, decided: true };
}

/** Where the figures stand, without what they were taken to measure. */
const placeOf = (source: Measured): Measured =>
  source.from === 'header'
    ? { from: source.from, header: source.header }
    : { from: source.from, pattern: source.pattern, headers: source.headers };

export const inUnit = (line: Line, unit: SourceUnit): Line =>
  isMeasured(line.source) ? { ...line, source: { ...line.source, unit }, decided: true } : line;

export const stating = (line: Line, value: string): Line => ({
  ...line,
  source: { from: 'constant', value },
  decided: value.trim() !== '',
});

/** Whether the line gives anything: a constant that is not stated gives way to a column of the sheet. */
const gives = (line: Line): boolean => line.source.from !== 'constant' || line.source.value.trim() !== '';

/** Lines that stand for a column of one of these tables. */
export const linesFor = (lines: readonly Line[], table: TableName): readonly Line[] =>
  lines.filter((line) => line.to?.table === table && gives(line));

/** Lines to be looked at: taken as they are on a guess, and not set by a person. */
export const unsureLines = (lines: readonly Line[], targets: readonly ProposedTarget[]): readonly Line[] =>
  targets
    .flatMap(({ table }) => linesFor(lines, table))
    .filter((line) => line.confidence === 'unsure' && !line.decided);

/** The mapping that the lines make; where something is not decided, or is decided twice, what. */
export function drafted(
  header: readonly string[],
  proposal: Proposal,
  targets: readonly ProposedTarget[],
  lines: readonly Line[],
  decided: Decisions,
): Draft {
  const open =
    targets.length === 0
      ? ['Choose what a row of the sheet is.']
      : targets.flatMap((target) => faultsOf(target, lines));
  if (decided.name.trim() === '') open.push('Give the mapping a name.');
  const drawn = draftMapping(
    header,
    { ...proposal, targets: targets.map((target) => decidedTarget(target, linesFor(lines, target.table))) },
    decided,
  );
  if (open.length === 0) return drawn;
  const undecided = drawn.ok ? [] : drawn.open.filter((each) => /^(Order of dates|Decimal sign)/.test(each));
  return { ok: false, open: [...undecided, ...open] };
}

function faultsOf({ table }: ProposedTarget, lines: readonly Line[]): string[] {
  const giving = linesFor(lines, table);
  const names = giving.flatMap((line) => (line.to === null ? [] : [line.to.column]));
  const twice = [...new Set(names.filter((name, i) => names.indexOf(name) !== i))];
  const all: LogTable = tables[table];
  return [
    ...all.columns
      .filter((column) => column.required && !names.includes(column.name))
      .map((column) => `${table}.${column.name} is needed: choose it for a column of the sheet, or state it.`),
    ...twice.map((name) => `${table}.${name} is chosen for more than one column. Leave one of them out.`),
    ...giving
      .filter((line) => line.confidence === 'open' && !line.decided)
      .map((line) => `${saysOf(line)}: ${line.why} Choose its unit.`),
  ];
}

function decidedTarget(target: ProposedTarget, giving: readonly Line[]): ProposedTarget {
  const columns = giving.flatMap(({ source, to, why }) =>
    to === null ? [] : [{ column: to.column, source, confidence: 'sure' as const, why }],
  );
  const names = columns.map((each) => each.column);
  const held = target.onlyWhere?.filter((name) => names.includes(name)) ?? [];
  const wide = columns.some(({ source }) => source.from === 'elements');
  return {
    ...target,
    shape: wide ? target.shape : 'a row a reading',
    onlyWhere: held.length === 0 ? null : held,
    columns,
    lacking: [],
  };
}

/** A name to begin with: the file's, without its ending. */
export const nameFor = (file: string): string => normalName(file.replace(/\.[^.]*$/, '')).slice(0, 80) || 'sheet';
