import { layout, type ResultColumn, type ResultTable } from '../calc/layout';
import { tables } from '../log/tables';
import type { TableName } from '../log/table';
import { columnWords } from './columns';
import type { Label } from './label';
import { terms } from './terms';

export { setAsideKinds, spreadBases, terms, windowUnits, type Term } from './terms';
export type { Label, Origin } from './label';

interface Fact {
  readonly meaning: string;
  readonly unit: Label['unit'];
}

const logFacts = new Map<string, Fact>(
  Object.values(tables).flatMap((table) =>
    table.columns.map((column): [string, Fact] => [`${table.name}.${column.name}`, column]),
  ),
);
const resultFacts = new Map<string, Fact>(
  Object.entries(layout).flatMap(([table, { columns }]) =>
    Object.entries<ResultColumn>(columns).map(([name, column]): [string, Fact] => [
      `${table}.${name}`,
      { meaning: column.meaning, unit: column.type === 'real' ? column.unit : null },
    ]),
  ),
);

function build(table: string, column: string, fact: Fact | undefined): Label {
  const words = columnWords[`${table}.${column}`] ?? columnWords[column];
  if (words === undefined || fact === undefined)
    throw new Error(`No label for ${table}.${column}: see lib/words/columns`);
  return { text: words[0], meaning: `${fact.meaning}.`, origin: words[1], unit: fact.unit };
}

/** The label of a column of the log, `table.column`. Throws where the column does not exist or has no word yet. */
export const logLabel = (table: TableName, column: string): Label =>
  build(table, column, logFacts.get(`${table}.${column}`));

/** The label of a column of the results. Throws where the column does not exist or has no word yet. */
export const resultLabel = (table: ResultTable, column: string): Label =>
  build(table, column, resultFacts.get(`${table}.${column}`));

export interface Listed extends Label {
  /** Where it stands: a table of the log or of the results, or `screen` for words of the pages. */
  readonly place: string;
}

/** Every label that a person can meet, for the glossary: pages' words, then the log's columns, then the results'. */
export function allLabels(): readonly Listed[] {
  const of = (facts: ReadonlyMap<string, Fact>): Listed[] =>
    [...facts].map(([key, fact]) => {
      const [table = '', column = ''] = key.split('.');
      return { ...build(table, column, fact), place: table };
    });
  return [...Object.values(terms).map((label) => ({ ...label, place: 'screen' })), ...of(logFacts), ...of(resultFacts)];
}
