import { tables } from '../log/tables';
import type { TableName } from '../log/table';
import { logLabel, resultLabel } from '../words/labels';
import { visible } from '../words/visible';
import { canonicalJson } from './canonical';
import type { AuditRecord } from './record';
import { figureTables, resultColumnNames, type FigureTable } from './rows';

/** Where two records of one job differ, field by field and in words. */

export interface RecordDifference {
  readonly path: string;
  /** Null where it has no such thing. */
  readonly record: string | null;
  readonly log: string | null;
}

type Plain = null | string | number | boolean | readonly Plain[] | { readonly [name: string]: Plain };
type Named = Readonly<Record<string, Plain>>;

const isNamed = (value: Plain | undefined): value is Named =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isList = (value: Plain | undefined): value is readonly Plain[] => Array.isArray(value);

/** What tells one row of a list from another, wherever it stands. */
const identity: readonly string[] = [
  ...['name', 'remark_id', 'figure', 'what', 'finding', 'revision', 'code', 'readings_of', 'instrument_id'],
  ...['calibrated_on', 'stage', 'test_point', 'low_test_point', 'rated_test_point', 'check_id', 'run', 'element'],
  ...['repeat', 'reason', 'speed_rpm', 'boost_kpa', 'lever', 'at_rpm', 'at_boost_kpa', 'part', 'cam_deg', 'sha256'],
];
/** Columns that stand in a reading, and are what is compared. */
const readNotNamed: Readonly<Partial<Record<string, readonly string[]>>> = {
  closures: ['cam_deg', 'instrument_id'],
  draws: ['speed_rpm', 'instrument_id'],
  test_points: ['speed_rpm'],
};
const words = (name: string): string => name.replaceAll('_', ' ');

const keysOf = (row: Named, of: string): readonly string[] =>
  identity.filter((name) => name in row && row[name] !== null && readNotNamed[of]?.includes(name) !== true);

const rowWords = (row: Named, of: string): string =>
  keysOf(row, of)
    .map(
      (name) =>
        (name === 'figure' || name === 'what' || name === 'finding' ? '' : `${words(name)} `) +
        shownPlain(row[name] ?? null),
    )
    .join(', ');

const shownPlain = (value: Plain): string =>
  typeof value === 'string' ? visible(value) : value === null ? 'nothing' : canonicalJson(value);

const MOST_LETTERS = 160;
const told = (value: Plain): string => {
  const text = shownPlain(value);
  return text.length > MOST_LETTERS ? `${text.slice(0, MOST_LETTERS)} …` : text;
};

const sections: Readonly<Record<string, string>> = {
  job: 'Job card',
  received_and_left: 'As received and as left',
  judged: 'Figures held against limits',
  sources: 'Files',
  exclusions: 'Draws that do not count',
  assumed: 'Values assumed',
};
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const isTable = (name: string): name is TableName => name in tables;
const isFigures = (name: string): name is FigureTable => figureTables.some((table) => table === name);

/** A column as the pages call it. */
function columnWords(path: readonly string[], column: string): string {
  const [section = '', table = ''] = path;
  if (section === 'job' && tables.jobs.columns.some(({ name }) => name === column))
    return logLabel('jobs', column).text;
  if ((section === 'readings' || section === 'specification') && isTable(asTable(table))) {
    const of = asTable(table);
    if (isTable(of) && tables[of].columns.some(({ name }) => name === column)) return logLabel(of, column).text;
  }
  if (section === 'results' && isFigures(table) && resultColumnNames(table).includes(column)) {
    return resultLabel(table, column).text;
  }
  return words(column);
}
const asTable = (name: string): string => (name === 'sheet' ? 'specs' : name);

interface Walk {
  readonly path: readonly string[];
  readonly said: readonly string[];
}

const within = ({ path, said }: Walk, name: string): Walk => ({
  path: [...path, name],
  said: [...said, path.length === 0 ? capital(sections[name] ?? words(name)) : columnWords(path, name)],
});

function walk(record: Plain | undefined, log: Plain | undefined, at: Walk): RecordDifference[] {
  if (isList(record) && isList(log)) return lists(record, log, at);
  if (isNamed(record) && isNamed(log)) {
    const names = [...new Set([...Object.keys(record), ...Object.keys(log)])].sort();
    return names.flatMap((name) => walk(record[name], log[name], within(at, name)));
  }
  if (record !== undefined && log !== undefined && canonicalJson(record) === canonicalJson(log)) return [];
  return [
    {
      path: at.said.join(': '),
      record: record === undefined ? null : told(record),
      log: log === undefined ? null : told(log),
    },
  ];
}

function lists(record: readonly Plain[], log: readonly Plain[], at: Walk): RecordDifference[] {
  const of = at.path.at(-1) ?? '';
  const [ours, theirs] = [byKey(record, of), byKey(log, of)];
  return [...new Set([...ours.keys(), ...theirs.keys()])].flatMap((key) => {
    const [one, other] = [ours.get(key), theirs.get(key)];
    const row = one ?? other;
    const said = isNamed(row) ? rowWords(row, of) : typeof row === 'string' ? '' : told(row ?? null);
    return walk(one, other, { path: at.path, said: said === '' ? at.said : [...at.said, said] });
  });
}

/** Rows by what names them; of those that are named alike, by their place among these. */
function byKey(rows: readonly Plain[], of: string): ReadonlyMap<string, Plain> {
  const times = new Map<string, number>();
  return new Map(
    rows.map((row): [string, Plain] => {
      const key = isNamed(row) ? canonicalJson(keysOf(row, of).map((name) => [name, row[name]])) : '';
      const time = times.get(key) ?? 0;
      times.set(key, time + 1);
      return [`${key} ${time}`, row];
    }),
  );
}

/** A file goes by its SHA-256; one that was only renamed is called as the record calls it. */
export interface RenamedFile {
  readonly record: string;
  readonly log: string;
}

export function renamedFiles(record: AuditRecord, log: AuditRecord): readonly RenamedFile[] {
  return log.sources.flatMap(({ file, sha256 }) => {
    const alike = record.sources.filter((each) => each.sha256 === sha256);
    const [only] = alike;
    return alike.length === 1 && only !== undefined && only.file !== file ? [{ record: only.file, log: file }] : [];
  });
}

function calledAs(value: Plain, names: ReadonlyMap<string, string>): Plain {
  if (isList(value)) return value.map((each) => calledAs(each, names));
  if (!isNamed(value)) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, each]) => [
      name,
      name === 'file' && typeof each === 'string' ? (names.get(each) ?? each) : calledAs(each, names),
    ]),
  );
}

/** Every field in which the record and the one that the log gives now differ. */
export function compareRecords(record: AuditRecord, log: AuditRecord): readonly RecordDifference[] {
  const names = new Map(renamedFiles(record, log).map((each) => [each.log, each.record]));
  const [one, other] = [plainOf(record), calledAs(plainOf(log), names)];
  return walk(one, other, { path: [], said: [] });
}

/** A record as nothing but JSON. */
const plainOf = (record: AuditRecord): Plain => JSON.parse(canonicalJson(record)) as Plain;
