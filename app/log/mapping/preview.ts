import { convert, type Conversion, type ConvertedTable } from '../../../lib/log/mapping/convert';
import { FIRST_ROW } from '../../../lib/log/mapping/distinct';
import type { Mapping } from '../../../lib/log/mapping/mapping';
import { FIRST_DAY, LAST_DAY } from '../../../lib/log/column';
import { cell as says, row as rowSays } from '../../../lib/log/sentences';
import type { Column, LogTable, TableName } from '../../../lib/log/table';
import { tables } from '../../../lib/log/tables';

/** What a mapping makes of a sheet's first rows, before any of it is in the log. */

export interface PreviewedTable {
  readonly table: TableName;
  readonly header: readonly string[];
  /** The first of them, each after its row number in the sheet. */
  readonly rows: readonly (readonly string[])[];
  readonly total: number;
}

export interface AsideCell {
  readonly table: TableName;
  readonly row: number;
  readonly column: string;
  readonly value: string;
  readonly reason: string;
}

export type Preview =
  | {
      readonly ok: true;
      readonly tables: readonly PreviewedTable[];
      readonly aside: readonly AsideCell[];
      readonly conversion: Extract<Conversion, { ok: true }>;
    }
  | { readonly ok: false; readonly reason: string };

const SHOWN_ROWS = 8;

export function previewOf(mapping: Mapping, rows: readonly (readonly string[])[]): Preview {
  const conversion = convert(mapping, rows);
  if (!conversion.ok) return conversion;
  const names = [...new Set(conversion.tables.map((each) => each.table))];
  return {
    ok: true,
    conversion,
    tables: names.map((name) => previewTable(conversion.tables.filter((each) => each.table === name))),
    aside: conversion.tables.flatMap(asideIn),
  };
}

function previewTable(made: readonly ConvertedTable[]): PreviewedTable {
  const numbered = made
    .flatMap(({ rows }) => rows.flatMap((row, i) => (row === null ? [] : [{ no: i + FIRST_ROW, row }])))
    .sort((a, b) => a.no - b.no);
  return {
    table: made[0]?.table ?? 'jobs',
    header: made[0]?.header ?? [],
    rows: numbered.slice(0, SHOWN_ROWS).map(({ no, row }) => [String(no), ...row]),
    total: numbered.length,
  };
}

function asideIn({ table, header, rows }: ConvertedTable): AsideCell[] {
  const all: LogTable = tables[table];
  const columns = header.map((name) => all.columns.find((column) => column.name === name));
  return rows.flatMap((row, i): AsideCell[] => {
    if (row === null) return [];
    const at = { table, row: i + FIRST_ROW };
    if (row.length > header.length) {
      return [{ ...at, column: '–', value: row.slice(header.length).join(' '), reason: rowSays.tooManyColumns }];
    }
    const found = columns.findIndex((column, c) => column !== undefined && faultOf(column, row[c] ?? '') !== null);
    const column = columns[found];
    if (column === undefined) return [];
    const value = row[found] ?? '';
    return [{ ...at, column: column.name, value, reason: faultOf(column, value) ?? '' }];
  });
}

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;
const DAY = /^\d{4}-\d{2}-\d{2}$/;
const MOMENT = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?$/;
const LIST = /^-?\d+(\.\d+)?([- ]-?\d+(\.\d+)?)*$/;
const YES_NO = /^(true|yes|y|1|false|no|n|0)$/i;

const isDay = (text: string): boolean => {
  const at = new Date(`${text}T00:00:00Z`);
  return DAY.test(text) && !Number.isNaN(at.getTime()) && at.toISOString().startsWith(text);
};

/** Why the log would set a row with this cell aside, in the log's own words; null where it would not. */
export function faultOf(column: Column, written: string): string | null {
  const text = written.trim();
  if (text === '') return column.required ? says.missing(column) : null;
  switch (column.kind) {
    case 'number':
    case 'integer':
      return numberFault(column, text);
    case 'date':
      if (!isDay(text)) return says.notDate(column);
      return text < FIRST_DAY || text > LAST_DAY ? says.dateOutside(column) : null;
    case 'moment':
      return MOMENT.test(text) && isDay(text.slice(0, 10)) ? null : says.notMoment(column);
    case 'yes_no':
      return YES_NO.test(text) ? null : says.notYesNo(column);
    case 'choice':
      return (column.choices ?? []).includes(text.toLowerCase()) ? null : says.notChoice(column);
    case 'list':
      return LIST.test(text) ? null : says.notList(column);
    case 'text':
      return column.max !== null && text.length > column.max ? says.tooLong(column) : null;
  }
}

function numberFault(column: Column, text: string): string | null {
  if (!NUMBER.test(text)) return says.notNumber(column);
  const value = Number(text);
  if (column.kind === 'integer' && !Number.isInteger(value)) return says.notWhole(column);
  const { min, max } = column;
  return (min !== null && value < min) || (max !== null && value > max) ? says.outside(column) : null;
}
