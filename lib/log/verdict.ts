import { FIRST_DAY, LAST_DAY } from './column';
import { cell as says } from './sentences';
import type { Column } from './table';

/**
 * Why the log would set a row with this cell aside, before the cell is in a database: the verdict of lib/store/stage.ts told
 * without SQL, to which a property test holds it.
 */

const NUMBER = /^ *[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)? *$/i;
/** What a database takes for a number and no gauge ever showed: it stands outside any range. */
const ENDLESS = /^ *[+-]?(inf|infinity|nan) *$/i;
const DECIMAL_COMMA = /^ *-?\d+,\d+ *$/;
/** The database takes the day in front and leaves the rest of the cell. */
const DAY = /^(\d{4})-(\d{1,2})-(\d{1,2})(?!\d)/;
const SHORTEST_DAY = 10;
const MOMENT = /^(\d{4}-\d{2}-\d{2})[T ](\d{2}):(\d{2})(:(\d{2})(\.\d{1,6})?)?$/;
const LIST = /^-?\d+(\.\d+)?([- ]-?\d+(\.\d+)?)*$/;
const YES_NO = /^(true|yes|y|1|false|no|n|0)$/i;

/** The database trims spaces and nothing else. */
const trimmed = (cell: string): string => cell.replace(/^ +/, '').replace(/ +$/, '');

/** The day that a cell begins with; null where it begins with none. */
function dayIn(text: string): string | null {
  const [, year = '', month = '', day = ''] = DAY.exec(text) ?? [];
  const iso = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
  const at = new Date(`${iso}T00:00:00Z`);
  const is = text.length >= SHORTEST_DAY && !Number.isNaN(at.getTime()) && at.toISOString().startsWith(iso);
  return is ? iso : null;
}

function isMoment(text: string): boolean {
  const [, day = '', hour = '', minute = '', , second = '0', part = ''] = MOMENT.exec(text) ?? [];
  const [h, m, s] = [hour, minute, second].map(Number);
  const midnight = h === 24 && m === 0 && s === 0 && !/[1-9]/.test(part);
  return dayIn(day) !== null && (midnight || (h ?? 24) < 24) && (m ?? 60) < 60 && (s ?? 60) < 60;
}

/** Characters as a database counts them, not the halves that some of them are made of. */
const lengthOf = (text: string): number => Array.from(text).length;

/** The log's sentence for a cell; null where it would be accepted. */
export function faultOf(column: Column, written: string): string | null {
  const text = trimmed(written);
  const textual = column.kind === 'text' || column.kind === 'choice' || column.kind === 'list';
  if ((textual ? text : written) === '') return column.required ? says.missing(column) : null;
  switch (column.kind) {
    case 'number':
    case 'integer':
      return numberFault(column, written);
    case 'date': {
      const day = dayIn(text);
      if (day === null) return says.notDate(column);
      return day < FIRST_DAY || day > LAST_DAY ? says.dateOutside(column) : null;
    }
    case 'moment':
      return isMoment(text) ? null : says.notMoment(column);
    case 'yes_no':
      return YES_NO.test(text) ? null : says.notYesNo(column);
    case 'choice':
      return (column.choices ?? []).includes(text.toLowerCase()) ? null : says.notChoice(column);
    case 'list':
      return LIST.test(text) ? null : says.notList(column);
    case 'text':
      return column.max !== null && lengthOf(text) > column.max ? says.tooLong(column) : null;
  }
}

function numberFault(column: Column, written: string): string | null {
  if (DECIMAL_COMMA.test(written)) return says.decimalComma(column);
  if (ENDLESS.test(written)) return says.outside(column);
  if (!NUMBER.test(written)) return says.notNumber(column);
  const value = Number(written);
  const { min, max } = column;
  if ((min !== null && value < min) || (max !== null && value > max)) return says.outside(column);
  return column.kind === 'integer' && !Number.isInteger(value) ? says.notWhole(column) : null;
}
