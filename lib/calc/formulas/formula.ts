import type { Unit } from '../../units/units';
import type { ResultColumns, ResultTable } from '../layout';

/** A result column as `table.column`. */
export type ColumnName = { [T in ResultTable]: `${T}.${keyof ResultColumns<T> & string}` }[ResultTable];

export const COMMON_PRACTICE = 'common practice, no source';

/** How a figure is worked out, as pages and docs show it. */
export interface Formula {
  readonly symbol: string;
  /** The formula in the symbols of docs/method.md. */
  readonly text: string;
  readonly unit: Unit;
  /** One sentence. */
  readonly meaning: string;
  /** Where the formula or its assumed value comes from. */
  readonly source: string;
  /** Heading of docs/method.md, as in a link `docs/method.md#anchor`. */
  readonly anchor: string;
  /** The result columns that carry the figure. */
  readonly columns: readonly ColumnName[];
}
