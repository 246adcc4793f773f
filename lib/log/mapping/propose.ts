import type { Unit } from '../../units/units';
import type { Column, LogTable, TableName } from '../table';
import { tables } from '../tables';
import { guessDates, guessNotation, type Confidence, type Guess, type Notation } from './evidence';
import { columnOf, onlyNumbered, readHeader, type ColumnGuess, type HeaderFacts } from './headers';
import { MAPPING_VERSION, mappingSchema, signature, type Mapping, type Source } from './mapping';
import type { DateOrder } from './notation';
import type { Delimiter, Encoding } from './read';
import { witnesses } from './synonyms';
import { foreignWords, proposedWords } from './words';
import { isPerStroke, ownUnit, sourceUnits, unitsFor, type SourceUnit } from './units';

/** Proposes a mapping from a sheet's header and first rows: a start to be looked over, each part with how sure it is and why. */

export interface ProposedColumn {
  readonly column: string;
  readonly source: Source;
  readonly confidence: Confidence;
  readonly why: string;
}

export interface ProposedTarget {
  readonly table: TableName;
  readonly shape: 'a row a reading' | 'a column an element';
  readonly rows: 'each' | 'distinct';
  readonly onlyWhere: readonly string[] | null;
  readonly columns: readonly ProposedColumn[];
  /** Required columns that nothing in the sheet stands for. */
  readonly lacking: readonly string[];
}

export interface Proposal {
  readonly notation: Guess<Notation>;
  readonly dates: Guess<DateOrder>;
  readonly targets: readonly ProposedTarget[];
  /** Headers that nothing was made of. */
  readonly unused: readonly string[];
  /** Of them those that differ by an element's number alone: what they have in common, with {n} for the number. */
  readonly families: readonly string[];
  /** What has to be decided before a mapping can be made of it, a sentence each. */
  readonly open: readonly string[];
}

/** One column of the sheet, or the columns of all elements together, with what it stands for. */
interface Item {
  readonly facts: HeaderFacts;
  readonly guess: ColumnGuess;
  /** Places in the header; several where there is a column an element. */
  readonly places: readonly number[];
  readonly many: boolean;
}

/**
 * @param header the sheet's headers
 * @param rows some of its first rows; more rows leave less to be decided
 */
export function propose(header: readonly string[], rows: readonly (readonly string[])[]): Proposal {
  const facts = header.map(readHeader);
  const items = itemsOf(facts);
  const found = witnesses.filter(([, witness]) => items.some((item) => item.guess.column === witness));
  const shares = sharesOf(found.map(([table]) => table));
  const targets = found.map(([table, witness]) => proposeTarget(tables[table], witness, items, shares, rows));
  const notation = guessNotation(cellsOf(items, rows, ['number', 'integer']));
  const dates = guessDates(cellsOf(items, rows, ['date', 'moment']));
  const used = usedPlaces(targets, items);
  return {
    notation,
    dates,
    targets,
    unused: header.filter((name, i) => name.trim() !== '' && !used.has(i)),
    families: [...familiesOf(facts)].filter(([, places]) => !places.some((i) => used.has(i))).map(([name]) => name),
    open: [
      ...(notation.value === null ? [`Decimal sign: ${notation.why}`] : []),
      ...(dates.value === null ? [`Order of dates: ${dates.why}`] : []),
      ...(targets.length === 0 ? ['No column stands for anything that a table of the log can be made of.'] : []),
      ...targets.flatMap(openColumns),
      ...targets.flatMap((target) =>
        target.lacking.map((name) => `${target.table}: no column of the sheet stands for ${name}.`),
      ),
    ],
  };
}

interface Shares {
  /** Whether the sheet gives rows to more than one table. */
  readonly several: boolean;
  /** Tables whose rows the sheet repeats beside those of another. */
  readonly repeated: ReadonlySet<TableName>;
}

/** A row an element and run stands beside each draw of that element where a flat sheet holds both. */
const beside: readonly TableName[] = ['closures', 'shims', 'barrels'];

const sharesOf = (names: readonly TableName[]): Shares => ({
  several: names.length > 1,
  repeated: new Set(
    names.filter((name) => names.length > 1 && (name === 'jobs' || (beside.includes(name) && names.includes('draws')))),
  ),
});

const openColumns = (target: ProposedTarget): string[] =>
  target.columns
    .filter((each) => each.confidence === 'open')
    .map((each) => `${target.table}, ${each.column}: ${each.why}`);

function itemsOf(headers: readonly HeaderFacts[]): Item[] {
  const families = familiesOf(headers);
  const inFamily = new Set([...families.values()].flat());
  const single = headers.flatMap((facts, i): Item[] => {
    const guess = inFamily.has(i) ? null : columnOf(facts, false);
    return guess === null ? [] : [{ facts, guess, places: [i], many: false }];
  });
  const wide = [...families.values()].flatMap((places): Item[] => {
    const facts = headers[places[0] ?? -1];
    const guess = facts === undefined ? null : (columnOf(facts, true) ?? plainFamily(facts, headers));
    return facts === undefined || guess === null ? [] : [{ facts, guess, places, many: true }];
  });
  return [...wide, ...single].sort((a, b) => rank[a.guess.confidence] - rank[b.guess.confidence]);
}

/** Columns that are numbered and say nothing else, in a sheet of draws by its other columns. */
function plainFamily(facts: HeaderFacts, headers: readonly HeaderFacts[]): ColumnGuess | null {
  const named = headers.flatMap((each) => columnOf(each, false)?.column ?? []);
  const draws = named.includes('test_point') || named.includes('strokes');
  const others = ['volume_cm3', 'cam_deg', 'before_mm', 'rotation_deg'].some((column) => named.includes(column));
  const plain = facts.unit === null && onlyNumbered(facts);
  return plain && draws && !others
    ? {
        column: 'volume_cm3',
        confidence: 'unsure',
        why: 'A figure an element beside test points is most likely a draw.',
      }
    : null;
}

const rank: Readonly<Record<Confidence, number>> = { sure: 0, likely: 1, unsure: 2, open: 3 };

/** Headers that differ by a number alone, two at least and from 1 on: their places by pattern. */
function familiesOf(headers: readonly HeaderFacts[]): ReadonlyMap<string, readonly number[]> {
  const by = new Map<string, { place: number; number: number }[]>();
  headers.forEach(({ element }, place) => {
    if (element === null) return;
    by.set(element.pattern, [...(by.get(element.pattern) ?? []), { place, number: element.number }]);
  });
  return new Map(
    [...by]
      .filter(([, each]) => {
        const numbers = new Set(each.map(({ number }) => number));
        return numbers.size === each.length && numbers.size > 1 && numbers.has(1);
      })
      .map(([pattern, each]) => [pattern, each.map(({ place }) => place)]),
  );
}

function proposeTarget(
  table: LogTable,
  witness: string,
  items: readonly Item[],
  { several, repeated }: Shares,
  rows: readonly (readonly string[])[],
): ProposedTarget {
  const wide =
    table.columns.some((column) => column.name === 'element') &&
    items.find((item) => item.guess.column === witness)?.many === true;
  const strokes = items.find((item) => item.guess.column === witness)?.facts.strokes ?? null;
  const columns = table.columns.flatMap((column): ProposedColumn[] => {
    if (wide && column.name === 'element') {
      const why = 'There is a column an element.';
      return [{ column: column.name, source: { from: 'element' }, confidence: 'likely', why }];
    }
    // A volume stated over so many strokes is not to be divided by those of another column.
    if (column.name === 'strokes' && strokes !== null) return constantFor(column, strokes);
    const item = items.find((each) => each.guess.column === column.name && (wide || !each.many));
    return item === undefined ? constantFor(column, strokes) : [proposeColumn(column, item, rows)];
  });
  const had = new Set(columns.map((each) => each.column));
  return {
    table: table.name,
    shape: wide ? 'a column an element' : 'a row a reading',
    rows: repeated.has(table.name) ? 'distinct' : 'each',
    onlyWhere: several && table.name !== 'jobs' && !wide && had.has(witness) ? [witness] : null,
    columns,
    lacking: table.columns.filter((column) => column.required && !had.has(column.name)).map((column) => column.name),
  };
}

/** What a sheet that says nothing of it most likely means; each is told as a constant to be looked at. */
function constantFor(column: Column, strokes: number | null): ProposedColumn[] {
  const constant = (value: string, confidence: Confidence, why: string): ProposedColumn[] => [
    { column: column.name, source: { from: 'constant', value }, confidence, why },
  ];
  if (column.name === 'strokes' && strokes !== null) {
    return constant(String(strokes), 'likely', "The volume's header says over how many strokes it is.");
  }
  if (!column.required) return [];
  if (column.name === 'repeat')
    return constant('1', 'unsure', 'The sheet does not count draws; taken as one draw a point.');
  if (column.name === 'run')
    return constant('1', 'unsure', 'The sheet does not tell runs apart; taken as the first after assembly.');
  return [];
}

function proposeColumn(
  column: Column,
  { facts, guess, many, places }: Item,
  rows: readonly (readonly string[])[],
): ProposedColumn {
  const foreign = foreignWords(
    column,
    rows.flatMap((row) => places.map((place) => row[place] ?? '')),
  );
  if (!many && foreign.length > 0) return proposeWorded(column, facts, foreign);
  const unit = unitGuess(column.unit, facts);
  const strokes =
    isPerStroke(column.unit) && facts.strokes !== null && facts.strokes > 1 ? { per_strokes: facts.strokes } : {};
  const measured = { ...(unit === null || unit.value === null ? {} : { unit: unit.value }), ...strokes };
  const source: Source =
    many && facts.element !== null
      ? { from: 'elements', pattern: facts.element.pattern, ...measured }
      : { from: 'header', header: facts.header.trim(), ...measured };
  const less = unit !== null && rank[unit.confidence] > rank[guess.confidence] ? unit.confidence : guess.confidence;
  return {
    column: column.name,
    source,
    confidence: less,
    why: unit === null ? guess.why : `${guess.why} ${unit.why}`,
  };
}

/** A column of words that are the shop's own: what each stands for is always to be looked at. */
function proposeWorded(column: Column, facts: HeaderFacts, foreign: readonly string[]): ProposedColumn {
  const words = proposedWords(column, foreign);
  const unknown = foreign.filter((word) => !Object.hasOwn(words, word));
  const said = Object.entries(words).map(([theirs, ours]) => `${theirs} is taken as ${ours}`);
  return {
    column: column.name,
    source: {
      from: 'header',
      header: facts.header.trim(),
      ...(Object.keys(words).length === 0 ? {} : { words: { ...words } }),
    },
    confidence: 'unsure',
    why: `It has words of its own: ${[...said, ...unknown.map((word) => `${word} is not known`)].slice(0, 6).join(', ')}.`,
  };
}

/** The unit of a column's figures; null where the log's unit has no other. */
function unitGuess(to: Unit | null, facts: HeaderFacts): Guess<SourceUnit> | null {
  const own = ownUnit(to);
  if (own === null || to === null) return null;
  if (to === 'rpm') {
    return /\bengine\b/.test(facts.words)
      ? {
          value: 'crank_rpm',
          confidence: 'unsure',
          why: 'It speaks of the engine; a four-stroke pump turns at half its speed.',
        }
      : { value: own, confidence: 'likely', why: "Taken as the pump's speed." };
  }
  if (facts.unit === null) {
    return { value: own, confidence: 'unsure', why: `The header states no unit; taken as ${sourceUnits[own].symbol}.` };
  }
  const stated = facts.unit;
  if (to === 'cam_deg' && (stated === 'deg' || stated === 'arcmin')) {
    const crank = /\bcrank/.test(facts.words);
    const value = stated === 'deg' ? (crank ? 'crank_deg' : 'cam_deg') : crank ? 'crank_arcmin' : 'cam_arcmin';
    return crank
      ? { value, confidence: 'likely', why: 'The header speaks of the crankshaft.' }
      : { value, confidence: 'unsure', why: 'The header does not tell camshaft from crankshaft; taken as camshaft.' };
  }
  return unitsFor(to).includes(stated)
    ? { value: stated, confidence: 'likely', why: `The header states ${sourceUnits[stated].symbol}.` }
    : { value: null, confidence: 'open', why: `The header states ${sourceUnits[stated].symbol}, which does not fit.` };
}

function cellsOf(
  items: readonly Item[],
  rows: readonly (readonly string[])[],
  kinds: readonly Column['kind'][],
): string[] {
  const names = new Set(
    Object.values(tables).flatMap((table) =>
      table.columns.filter((column) => kinds.includes(column.kind)).map((column) => column.name),
    ),
  );
  const places = items.filter((item) => names.has(item.guess.column)).flatMap((item) => item.places);
  return rows.flatMap((row) => places.map((place) => row[place] ?? '')).filter((cell) => cell.trim() !== '');
}

function usedPlaces(targets: readonly ProposedTarget[], items: readonly Item[]): ReadonlySet<number> {
  const sources = targets.flatMap((target) => target.columns.map((each) => each.source));
  const isUsed = ({ facts, many }: Item): boolean =>
    sources.some((source) =>
      many
        ? source.from === 'elements' && source.pattern === facts.element?.pattern
        : source.from === 'header' && source.header === facts.header.trim(),
    );
  return new Set(items.filter(isUsed).flatMap((item) => item.places));
}

/** What a proposal does not say, and what a person decided. */
export interface Decisions {
  readonly name: string;
  readonly encoding: Encoding;
  readonly delimiter: Delimiter;
  readonly dates?: DateOrder;
  readonly notation?: Notation;
  /** The row that holds the headers; the first where it is left out. */
  readonly headerRow?: number;
  /** Sources by table and column, in place of those proposed. */
  readonly sources?: Partial<Readonly<Record<TableName, Readonly<Record<string, Source>>>>>;
}

export type Draft =
  { readonly ok: true; readonly mapping: Mapping } | { readonly ok: false; readonly open: readonly string[] };

/** A mapping out of a proposal and what was decided; where something is still open, what it is. */
export function draftMapping(header: readonly string[], proposal: Proposal, decided: Decisions): Draft {
  const dates = decided.dates ?? proposal.dates.value;
  const notation = decided.notation ?? proposal.notation.value;
  const open = [
    ...(dates === null ? [`Order of dates: ${proposal.dates.why}`] : []),
    ...(notation === null ? [`Decimal sign: ${proposal.notation.why}`] : []),
    ...proposal.targets.flatMap((target) => {
      const known = Object.keys(decided.sources?.[target.table] ?? {});
      return openColumns({ ...target, columns: target.columns.filter((each) => !known.includes(each.column)) });
    }),
  ];
  if (dates === null || notation === null || open.length > 0) return { ok: false, open };
  const read = mappingSchema.safeParse({
    shimbook_mapping: MAPPING_VERSION,
    name: decided.name,
    headers: signature(header),
    header_row: decided.headerRow ?? 1,
    encoding: decided.encoding,
    delimiter: decided.delimiter,
    ...notation,
    dates,
    targets: proposal.targets.map((target) => ({
      table: target.table,
      shape: target.shape,
      rows: target.rows,
      ...(target.onlyWhere === null ? {} : { only_where: target.onlyWhere }),
      columns: {
        ...Object.fromEntries(target.columns.map((each) => [each.column, each.source])),
        ...decided.sources?.[target.table],
      },
    })),
  });
  if (read.success) return { ok: true, mapping: read.data };
  return { ok: false, open: read.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`) };
}
