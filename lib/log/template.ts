import { csvFormatRows } from 'd3-dsv';
import type { TableName } from './table';
import { tables } from './tables';

/** An empty file of one table: its header, ready to be filled in. */
export const templateCsv = (name: TableName): string =>
  `${csvFormatRows([tables[name].columns.map((column) => column.name)])}\n`;
