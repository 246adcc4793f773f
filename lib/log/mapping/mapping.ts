import { z } from 'zod';
import { tableNames, type Column, type LogTable } from '../table';
import { tables } from '../tables';
import { dateOrders, decimalSigns, thousandsMarks } from './notation';
import { delimiters, encodings } from './read';
import { isPerStroke, sourceUnitNames, unitsFor } from './units';

/** How a shop's own sheet becomes tables of the log: made once, kept as a small JSON file, shared. */

export const MAPPING_VERSION = 1;
export const MOST_ELEMENTS = 12;
/** Where an element's number stands in a pattern of headers. */
export const NUMBER_PLACE = '{n}';

/** Headers are compared without regard to case, outer spaces and how many inner ones. */
export const normalName = (header: string): string =>
  header
    .normalize('NFC')
    .replace(/^\ufeff/, '')
    .replace(/\s+/g, ' ')
    .trim()
    .toLowerCase();

/** The names of a header in an order of their own; columns without a name do not count. */
export const signature = (header: readonly string[]): string[] =>
  header
    .map(normalName)
    .filter((name) => name !== '')
    .sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));

const header = z.string().trim().min(1).max(400);
const measured = {
  /** Unit that the sheet's figures are in; the log's own where it is left out. */
  unit: z.enum(sourceUnitNames).optional(),
  /** Strokes that a volume is stated over, where the log wants it for one stroke. */
  per_strokes: z.int().min(1).max(100_000).optional(),
};

const source = z.discriminatedUnion('from', [
  z.strictObject({
    from: z.literal('header'),
    header,
    ...measured,
    /** The shop's words and the log's, for a column that knows certain words. */
    words: z.record(z.string(), z.string()).optional(),
  }),
  z.strictObject({
    from: z.literal('elements'),
    /** A column an element: their headers with {n} in place of the number, or each element's header by itself. */
    pattern: header.optional(),
    headers: z.record(z.string().regex(/^([1-9]|1[0-2])$/), header).optional(),
    ...measured,
  }),
  z.strictObject({ from: z.literal('constant'), value: z.string().max(4000) }),
  z.strictObject({ from: z.literal('element') }),
]);
export type Source = z.infer<typeof source>;

const target = z.strictObject({
  table: z.enum(tableNames),
  shape: z.enum(['a row a reading', 'a column an element']),
  /** `distinct`: the sheet repeats this table's row beside each reading, and it is taken once a key. */
  rows: z.enum(['each', 'distinct']).default('each'),
  /** Rows where all of these columns are empty hold nothing for this table. */
  only_where: z.array(z.string()).min(1).optional(),
  columns: z.record(z.string(), source),
});
export type Target = z.infer<typeof target>;

const shape = z.strictObject({
  shimbook_mapping: z.literal(MAPPING_VERSION),
  name: z.string().trim().min(1).max(120),
  headers: z.array(header).min(1).max(2000),
  /** The row that holds the headers, as a spreadsheet counts; what stands above it is not read. */
  header_row: z.int().min(1).max(100).default(1),
  encoding: z.enum(encodings),
  delimiter: z.enum(delimiters),
  decimal: z.enum(decimalSigns),
  thousands: z.enum(thousandsMarks).default('none'),
  dates: z.enum(dateOrders),
  targets: z.array(target).min(1).max(24),
});

export const mappingSchema = shape.superRefine((mapping, context) => {
  const say = (path: (string | number)[], message: string) => {
    context.addIssue({ code: 'custom', path, message });
  };
  if (mapping.decimal === mapping.thousands) say(['thousands'], 'is the same as the decimal sign');
  const names = signature(mapping.headers);
  mapping.targets.forEach((each, i) => {
    for (const { path, message } of targetFaults(each, names)) say(['targets', i, ...path], message);
  });
});
export type Mapping = z.infer<typeof mappingSchema>;

interface Fault {
  readonly path: readonly string[];
  readonly message: string;
}

function targetFaults(each: Target, names: readonly string[]): Fault[] {
  const table: LogTable = tables[each.table];
  const wide = each.shape === 'a column an element';
  const sources = Object.entries(each.columns);
  const known = new Map(table.columns.map((column) => [column.name, column]));
  const faults: Fault[] = sources.flatMap(([name, from]) => {
    const column = known.get(name);
    const messages = column === undefined ? [`is no column of ${each.table}`] : sourceFaults(from, column, wide, names);
    return messages.map((message) => ({ path: ['columns', name], message }));
  });
  const lacking = table.columns.filter((column) => column.required && !Object.hasOwn(each.columns, column.name));
  for (const column of lacking) faults.push({ path: ['columns', column.name], message: 'is needed and has no source' });
  if (wide && !sources.some(([, from]) => from.from === 'elements')) {
    faults.push({ path: ['shape'], message: 'a column an element needs a column that comes from the elements' });
  }
  for (const name of each.only_where ?? []) {
    if (!Object.hasOwn(each.columns, name)) faults.push({ path: ['only_where'], message: `${name} is not mapped` });
  }
  return faults;
}

function sourceFaults(from: Source, column: Column, wide: boolean, names: readonly string[]): string[] {
  switch (from.from) {
    case 'constant':
      return [];
    case 'element':
      return wide ? [] : ['the number of the element is known only where there is a column an element'];
    case 'header':
      return [...headerFaults(from.header, names), ...unitFaults(from, column)];
    case 'elements':
      return [
        ...(wide ? [] : ['elements in columns need the shape "a column an element"']),
        ...elementFaults(from, names),
        ...unitFaults(from, column),
      ];
  }
}

const headerFaults = (name: string, names: readonly string[]): string[] => {
  const times = names.filter((each) => each === normalName(name)).length;
  if (times === 0) return [`the sheet has no column "${name}"`];
  return times > 1 ? [`the sheet has the column "${name}" more than once; rename one of them there`] : [];
};

function elementFaults(from: Extract<Source, { from: 'elements' }>, names: readonly string[]): string[] {
  if ((from.pattern === undefined) === (from.headers === undefined)) return ['state either a pattern or the headers'];
  if (from.pattern !== undefined && from.pattern.split(NUMBER_PLACE).length !== 2) {
    return [`the pattern must hold ${NUMBER_PLACE} once`];
  }
  const places = elementHeaders(from, names);
  if (places.size === 0) return [`no column of the sheet is like "${from.pattern ?? ''}"`];
  return [...places.values()].flatMap((name) => headerFaults(name, names));
}

function unitFaults(from: Pick<Extract<Source, { from: 'header' }>, 'unit' | 'per_strokes'>, column: Column): string[] {
  const fits = unitsFor(column.unit);
  return [
    ...(from.unit !== undefined && !fits.includes(from.unit)
      ? [`can't be had from ${from.unit}${fits.length === 0 ? '' : `; it may be ${fits.join(', ')}`}`]
      : []),
    ...(from.per_strokes !== undefined && !isPerStroke(column.unit)
      ? ['is not a delivery for one stroke, so per_strokes does not belong here']
      : []),
  ];
}

/** Element numbers and the normal names of their columns, by number. */
export function elementHeaders(
  from: Extract<Source, { from: 'elements' }>,
  names: readonly string[],
): ReadonlyMap<number, string> {
  const stated = from.headers;
  if (stated !== undefined) {
    return new Map(Object.entries(stated).map(([n, name]) => [Number(n), normalName(name)] as const));
  }
  const found = new Map<number, string>();
  for (let n = 1; n <= MOST_ELEMENTS; n += 1) {
    const name = normalName((from.pattern ?? '').replace(NUMBER_PLACE, String(n)));
    const padded = normalName((from.pattern ?? '').replace(NUMBER_PLACE, String(n).padStart(2, '0')));
    const there = [name, padded].find((each) => names.includes(each));
    if (there !== undefined) found.set(n, there);
  }
  return found;
}

export type ReadMapping =
  { readonly ok: true; readonly mapping: Mapping } | { readonly ok: false; readonly reason: string };

/** Reads a mapping's JSON text; where it is none, says where and why. */
export function readMapping(text: string): ReadMapping {
  let json: unknown;
  try {
    json = JSON.parse(text.replace(/^\ufeff/, ''));
  } catch (error) {
    return { ok: false, reason: `This is not JSON (${error instanceof Error ? error.message : String(error)}).` };
  }
  const read = mappingSchema.safeParse(json);
  if (read.success) return { ok: true, mapping: read.data };
  const [first] = read.error.issues;
  const more = read.error.issues.length - 1;
  const place = first === undefined || first.path.length === 0 ? '' : `${first.path.join('.')}: `;
  return {
    ok: false,
    reason: `The mapping can't be used. ${place}${first?.message ?? ''}${more > 0 ? ` (and ${more} more)` : ''}`,
  };
}

/** Whether a header has the mapping's columns, in whatever order. */
export function fits(mapping: Mapping, row: readonly string[]): boolean {
  const want = signature(mapping.headers);
  const have = signature(row);
  return want.length === have.length && want.every((name, i) => name === have[i]);
}
