/** Whole numbers as Int32Array, readings as Float64Array; columns of a table are equally long. */
export type NumberColumns = Readonly<Record<string, Int32Array | Float64Array>>;

/** @throws TypeError where the table has no such column: a slip in this program, not in a log */
export function wholeColumn(table: NumberColumns, name: string): Int32Array {
  const column = table[name];
  if (!(column instanceof Int32Array)) throw new TypeError(`Column ${name} is not a column of whole numbers`);
  return column;
}

/** @throws TypeError where the table has no such column */
export function realColumn(table: NumberColumns, name: string): Float64Array {
  const column = table[name];
  if (!(column instanceof Float64Array)) throw new TypeError(`Column ${name} is not a column of real numbers`);
  return column;
}
