import type { Column } from '../table';
import type { Mapping, Source } from './mapping';
import { normalName } from './mapping';
import { notConverted, plainAngle, plainDay, plainMoment, plainNumber } from './notation';
import { isIdentity, isPerStroke, ownUnit, scaled, scaleTo, type Scale } from './units';

/** One cell of the sheet as the log writes it; a cell that can't be had so stays as it was written. */
export type CellReader = (cell: string) => string;

type Measured = Extract<Source, { from: 'header' | 'elements' }>;

/** What turns the cells of one column into the log's, made once a column. */
export function cellReader(column: Column, from: Measured, mapping: Mapping): CellReader {
  const words = from.from === 'header' ? from.words : undefined;
  const read = kindReader(column, from, mapping);
  if (words === undefined) return read;
  const known = new Map(Object.entries(words).map(([theirs, ours]) => [normalName(theirs), ours]));
  return (cell) => known.get(normalName(cell)) ?? read(cell);
}

function kindReader(column: Column, from: Measured, mapping: Mapping): CellReader {
  switch (column.kind) {
    case 'number':
    case 'integer': {
      const read = numberReader(mapping, scaleOf(column, from));
      return inDegrees(column, from) ? angleReader(mapping, scaleOf(column, from), read) : read;
    }
    case 'list':
      return listReader(mapping, scaleOf(column, from));
    case 'date':
      return (cell) => plainDay(cell, mapping.dates) ?? notDated(cell, mapping);
    case 'moment':
      return (cell) => plainMoment(cell, mapping.dates) ?? notDated(cell, mapping);
    case 'text':
    case 'choice':
    case 'yes_no':
      return (cell) => cell;
  }
}

/** Null where the figures are the log's already. */
function scaleOf(column: Column, from: Measured): Scale | null {
  const unit = from.unit ?? ownUnit(column.unit);
  if (unit === null) return null;
  const scale = scaleTo(column.unit, unit, isPerStroke(column.unit) ? (from.per_strokes ?? 1) : 1);
  return scale === null || isIdentity(scale) ? null : scale;
}

const numberReader =
  (mapping: Mapping, scale: Scale | null): CellReader =>
  (cell) => {
    if (cell.trim() === '') return '';
    const plain = plainNumber(cell, mapping);
    if (plain === null) return notConverted(cell);
    if (scale === null) return plain;
    const value = scaled(Number(plain), scale);
    return Number.isFinite(value) ? String(value) : notConverted(cell);
  };

/** Whether the figures are degrees, which may be written with minutes and seconds of arc behind them. */
function inDegrees(column: Column, from: Measured): boolean {
  const unit = from.unit ?? ownUnit(column.unit);
  return unit === 'deg' || unit === 'cam_deg' || unit === 'crank_deg';
}

const angleReader =
  (mapping: Mapping, scale: Scale | null, other: CellReader): CellReader =>
  (cell) => {
    const degrees = plainAngle(cell, mapping);
    return degrees === null ? other(cell) : String(scaled(degrees, scale ?? { plus: 0, times: 1, over: 1 }));
  };

/** Longer than any list of figures; a longer cell is not looked at. */
const LONGEST_LIST = 400;

function listReader(mapping: Mapping, scale: Scale | null): CellReader {
  const one = numberReader(mapping, scale);
  return (cell) => {
    if (cell.trim() === '' || cell.length > LONGEST_LIST) return cell;
    const parts = cell.trim().split(/([- ])(?=\S)/);
    const read = parts.map((part, i) => (i % 2 === 0 ? one(part) : part));
    return read.some((part) => part.includes('[')) ? notConverted(cell) : read.join('');
  };
}

/** A day that is not in the sheet's order must not be read by another one. */
const notDated = (cell: string, mapping: Mapping): string =>
  mapping.dates === 'iso' || cell.trim() === '' ? cell : notConverted(cell);
