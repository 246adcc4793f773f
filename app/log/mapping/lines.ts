import {
  draftMapping,
  type Decisions,
  type Draft,
  type ProposedColumn,
  type ProposedTarget,
  type Proposal,
} from '../../../lib/log/mapping/propose';
import type { Confidence } from '../../../lib/log/mapping/evidence';
import { elementHeaders, normalName, type Source } from '../../../lib/log/mapping/mapping';
import { ownUnit, unitsFor, type SourceUnit } from '../../../lib/log/mapping/units';
import { foreignWords, proposedWords } from '../../../lib/log/mapping/words';
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

const ASKED = ' asked';

export function linesOf(proposal: Proposal): readonly Line[] {
  const proposed = proposal.targets.flatMap((target) => [
    ...target.columns.map(({ column, source, confidence, why }): Line => ({
      id: `${target.table}.${column}${source.from === 'constant' ? ASKED : ''}`,
      source,
      to: { table: target.table, column },
      confidence,
      why,
      decided: false,
    })),
  ]);
  const unused = (source: Source, i: number): Line => ({
    id: `unused ${i}`,
    source,
    to: null,
    confidence: 'unsure',
    why: 'Nothing was made of it; it is left out.',
    decided: true,
  });
  const families = proposal.families.map((pattern): Source => ({ from: 'elements', pattern }));
  const inFamily = new Set(
    families.flatMap((source) =>
      source.from === 'elements' ? [...elementHeaders(source, proposal.unused.map(normalName)).values()] : [],
    ),
  );
  const single = proposal.unused
    .filter((header) => !inFamily.has(normalName(header)))
    .map((header): Source => ({ from: 'header', header: header.trim() }));
  return [...proposed, ...[...families, ...single].map(unused)];
}

/** A column of the log that a person brings in: the same in every row, or out of a column of the sheet. */
export const askedLine = (table: TableName, column: string): Line => ({
  id: `${table}.${column}${ASKED}`,
  source: { from: 'constant', value: '' },
  to: { table, column },
  confidence: 'open',
  why:
    columnAt({ table, column })?.required === true
      ? 'It is needed, and no column of the sheet stands for it: state it here, or choose the column.'
      : 'State it here, or choose the column of the sheet.',
  decided: false,
});

export const isAsked = (line: Line): boolean => line.id.endsWith(ASKED);

/** The lines, and one for each needed column that none stands for; those asked for that a column of the sheet stands for give way. */
export function completed(lines: readonly Line[], targets: readonly ProposedTarget[]): readonly Line[] {
  const same = (a: Line['to'], b: Line['to']): boolean => a?.table === b?.table && a?.column === b?.column;
  const kept = lines.filter(
    (line) => !isAsked(line) || gives(line) || !lines.some((each) => each !== line && same(each.to, line.to)),
  );
  const wide = (table: TableName): boolean =>
    kept.some(({ to, source }) => to?.table === table && source.from === 'elements');
  const needed = targets.flatMap(({ table }) =>
    columnsOf(table)
      .filter(({ name, required }) => required && !(name === ELEMENT && wide(table)))
      .filter(({ name }) => !kept.some(({ to }) => same(to, { table, column: name })))
      .map(({ name }) => askedLine(table, name)),
  );
  const [left, standing] = [kept.filter(({ to }) => to === null), kept.filter(({ to }) => to !== null)];
  return [...standing, ...needed, ...left];
}

const ELEMENT = 'element';
const columnsOf = (table: TableName): LogTable['columns'] => tables[table].columns;

/** Columns of the tables that no line stands for yet. */
export const absentColumns = (lines: readonly Line[], targets: readonly ProposedTarget[]): readonly string[] =>
  targets.flatMap(({ table }) =>
    columnsOf(table)
      .map(({ name }) => `${table}.${name}`)
      .filter((name) => !lines.some(({ to }) => to !== null && `${to.table}.${to.column}` === name)),
  );

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

/** The line with what its words most likely stand for, where it now stands for a column that knows certain words. */
export function worded(line: Line, cells: readonly string[]): Line {
  const column = columnAt(line.to);
  if (column === undefined || line.source.from !== 'header') return line;
  const words = proposedWords(column, foreignWords(column, cells));
  return Object.keys(words).length === 0 ? line : { ...line, source: { ...line.source, words: { ...words } } };
}

/** A line that was asked for, out of a column of the sheet, or the same in every row where that is null. */
export function takenFrom(line: Line, header: string | null): Line {
  if (header === null) return { ...line, source: { from: 'constant', value: '' }, decided: false };
  const own = ownUnit(columnAt(line.to)?.unit ?? null);
  return { ...line, source: { from: 'header', header, ...(own === null ? {} : { unit: own }) }, decided: true };
}

/** One of the shop's words read as one of the log's; as it is written where that is empty. */
export function inWords(line: Line, theirs: string, ours: string): Line {
  if (line.source.from !== 'header') return line;
  const { words = {}, ...source } = line.source;
  const others = Object.entries(words).filter(([word]) => normalName(word) !== normalName(theirs));
  const all = [...others, ...(ours === '' ? [] : [[theirs, ours] as const])];
  return {
    ...line,
    source: { ...source, ...(all.length === 0 ? {} : { words: Object.fromEntries(all) }) },
    decided: true,
  };
}

/** A delivery over so many strokes, where the log wants it for one. */
export function overStrokes(line: Line, strokes: number): Line {
  if (!isMeasured(line.source)) return line;
  return { ...line, source: { ...line.source, per_strokes: strokes }, decided: true };
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
  const stated = giving.flatMap((line) => (line.to === null ? [] : [line.to.column]));
  const names = [...stated, ...(giving.some(({ source }) => source.from === 'elements') ? [ELEMENT] : [])];
  const twice = [...new Set(stated.filter((name, i) => stated.indexOf(name) !== i))];
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
  const given = giving.flatMap(({ source, to, why }): ProposedColumn[] =>
    to === null ? [] : [{ column: to.column, source, confidence: 'sure', why }],
  );
  const many = given.some(({ source }) => source.from === 'elements');
  const numbered = many && !given.some(({ column }) => column === ELEMENT);
  const number: ProposedColumn = { column: ELEMENT, source: { from: 'element' }, confidence: 'sure', why: '' };
  const columns = numbered ? [...given, number] : given;
  const names = columns.map((each) => each.column);
  const held = target.onlyWhere?.filter((name) => names.includes(name)) ?? [];
  return {
    ...target,
    shape: many ? 'a column an element' : 'a row a reading',
    onlyWhere: held.length === 0 ? null : held,
    columns,
    lacking: [],
  };
}

/** A name to begin with: the file's, without its ending. */
export const nameFor = (file: string): string => normalName(file.replace(/\.[^.]*$/, '')).slice(0, 80) || 'sheet';
