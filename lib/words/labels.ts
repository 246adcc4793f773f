import { layout, type ResultColumn, type ResultTable } from '../calc/layout';
import { tables } from '../log/tables';
import type { TableName } from '../log/table';
import { columnWords } from './columns';
import type { Label } from './label';
import { quoteTerms } from './quoteTerms';
import { terms } from './terms';

export { quoteTerms } from './quoteTerms';
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

/** Lengths that are shims, changes of them or differences between them. */
const shimColumns: ReadonlySet<string> = new Set([
  ...[
    'before_mm',
    'after_mm',
    'before_second_mm',
    'after_second_mm',
    'stated_change_mm',
    'shim_step_mm',
    'shim_sizes_mm',
  ],
  ...[
    'shim_change_mm',
    'made_mm',
    'plan_mm',
    'moved_mm',
    'done_mm',
    'step_mm',
    'pair_difference_mm',
    'change_uncertainty_mm',
  ],
]);
/** The unit that a column is shown by: where people speak of inches a shim is told in thousandths, a lift is not. */
function shownUnit(column: string, unit: Label['unit']): Label['unit'] {
  if (!shimColumns.has(column)) return unit;
  return unit === 'mm' ? 'shim' : unit === 'mm_fine' ? 'shim_fine' : unit;
}

function build(table: string, column: string, fact: Fact | undefined): Label {
  const words = columnWords[`${table}.${column}`] ?? columnWords[column];
  if (words === undefined || fact === undefined)
    throw new Error(`No label for ${table}.${column}: see lib/words/columns`);
  return { text: words[0], meaning: `${fact.meaning}.`, origin: words[1], unit: shownUnit(column, fact.unit) };
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
  const words: readonly Label[] = [...Object.values(terms), ...Object.values(quoteTerms)];
  return [...words.map((label) => ({ ...label, place: 'screen' })), ...of(logFacts), ...of(resultFacts)];
}
