import {
  DataType,
  Field,
  Float64,
  Int32,
  Int8,
  makeData,
  RecordBatch,
  Schema,
  Struct,
  Table,
  tableFromIPC,
  tableToIPC,
  type Data,
} from 'apache-arrow';
import { layout, type ResultColumn, type ResultTable } from '../../calc/layout';
import type { NumberTable } from '../numbers';

/** Numbers out of and into the database's Arrow bytes, through typed arrays only: no object a row, no generated code. */

/** Reads an answer of whole and real numbers without empty cells. */
export function numbersFromIpc(bytes: Uint8Array): NumberTable {
  const table = tableFromIPC(bytes);
  return Object.fromEntries(
    table.schema.fields.map((field) => {
      const column = table.getChild(field.name);
      if (column === null) throw new TypeError(`Arrow lost the column ${field.name}`);
      const array = DataType.isInt(field.type) ? new Int32Array(table.numRows) : new Float64Array(table.numRows);
      let start = 0;
      for (const chunk of column.data) {
        const values: unknown = chunk.values;
        if (!(values instanceof Int32Array) && !(values instanceof Float64Array)) {
          throw new TypeError(`Column ${field.name} is neither INTEGER nor DOUBLE`);
        }
        array.set(values.subarray(0, chunk.length), start);
        start += chunk.length;
      }
      return [field.name, array];
    }),
  );
}

/** Writes one result table as an Arrow stream; NaN becomes an empty cell. */
export function resultsToIpc(name: ResultTable, numbers: NumberTable): Uint8Array {
  const columns = Object.entries<ResultColumn>(layout[name].columns);
  const rows = Object.values(numbers)[0]?.length ?? 0;
  const children: Data[] = [];
  const fields: Field[] = [];
  for (const [column, facts] of columns) {
    const values = numbers[column];
    if (values === undefined) throw new TypeError(`The engine left out ${name}.${column}`);
    const [type, data] = dataOf(values, facts.type === 'code');
    children.push(data);
    fields.push(new Field(column, type, true));
  }
  const schema = new Schema(fields);
  const struct = makeData({ type: new Struct(fields), length: rows, nullCount: 0, children });
  return tableToIPC(new Table(schema, [new RecordBatch(schema, struct)]), 'stream');
}

function dataOf(values: Int32Array | Float64Array, code: boolean): [DataType, Data] {
  if (values instanceof Int32Array) {
    const { length } = values;
    if (!code) return [new Int32(), makeData({ type: new Int32(), length, nullCount: 0, data: values })];
    return [new Int8(), makeData({ type: new Int8(), length, nullCount: 0, data: Int8Array.from(values) })];
  }
  const filled = new Uint8Array((values.length + 7) >> 3);
  let empty = 0;
  for (let i = 0; i < values.length; i += 1) {
    const byte = i >> 3;
    if (Number.isNaN(values[i])) empty += 1;
    else filled[byte] = (filled[byte] ?? 0) | (1 << (i & 7));
  }
  const type = new Float64();
  return [type, makeData({ type, length: values.length, nullCount: empty, nullBitmap: filled, data: values })];
}
