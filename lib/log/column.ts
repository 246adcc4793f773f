import { z } from 'zod';
import type { Unit } from '../units/units';

/** How a cell is written and what it becomes. A `list` stays text: whole or decimal numbers joined by hyphens or spaces. */
export type CellKind = 'text' | 'number' | 'integer' | 'date' | 'moment' | 'yes_no' | 'choice' | 'list';

/** All that is known about one column. Reading, templates, docs and the demo log derive from this and nothing else. */
export interface ColumnFact {
  readonly kind: CellKind;
  readonly unit: Unit | null;
  readonly required: boolean;
  /** Smallest and largest plausible value, both allowed; outside them a row is set aside. Text: the length. */
  readonly min: number | null;
  readonly max: number | null;
  readonly choices: readonly string[] | null;
  readonly meaning: string;
}

export const columnFacts = z.registry<ColumnFact>();

/** Dates outside these are slips of the pen (a year 0216, a spreadsheet's 1900). Both days are allowed. */
export const FIRST_DAY = '1950-01-01';
export const LAST_DAY = '2099-12-31';

/** Made once: it is asked of every row of a large table. */
const LOCAL_MOMENT = z.iso.datetime({ local: true });
const LIST = /^-?\d+(\.\d+)?([- ]-?\d+(\.\d+)?)*$/;

type Built<S extends z.ZodType> = { required: S; optional: z.ZodOptional<z.ZodNullable<S>> };

function build<S extends z.ZodType>(make: () => S, fact: Omit<ColumnFact, 'required'>): Built<S> {
  return {
    get required() {
      const schema = make();
      columnFacts.add(schema, { ...fact, required: true });
      return schema;
    },
    get optional() {
      const schema = make().nullable().optional();
      columnFacts.add(schema, { ...fact, required: false });
      return schema;
    },
  };
}

const plain = { unit: null, min: null, max: null, choices: null } as const;

/** A cell of text, at most `max` characters. */
export const text = (meaning: string, max = 120) =>
  build(() => z.string().trim().min(1).max(max), { ...plain, kind: 'text', min: 1, max, meaning });

/** A finite number in `unit`, between `min` and `max` (both allowed). */
export const number = (unit: Unit, min: number, max: number, meaning: string) =>
  build(() => z.number().min(min).max(max), { ...plain, kind: 'number', unit, min, max, meaning });

/** A whole number between `min` and `max` (both allowed). */
export const integer = (min: number, max: number, meaning: string, unit: Unit = 'count') =>
  build(() => z.int().min(min).max(max), { ...plain, kind: 'integer', unit, min, max, meaning });

/** A day as yyyy-mm-dd. */
export const date = (meaning: string) =>
  build(
    () =>
      z.iso.date().refine((day) => day >= FIRST_DAY && day <= LAST_DAY, `must lie from ${FIRST_DAY} to ${LAST_DAY}`),
    { ...plain, kind: 'date', meaning },
  );

/** A moment as yyyy-mm-dd hh:mm or yyyy-mm-ddThh:mm(:ss), in the shop's own time. */
export const moment = (meaning: string) =>
  build(
    () =>
      z
        .string()
        .regex(/^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?$/)
        .refine((value) => LOCAL_MOMENT.safeParse(value.replace(' ', 'T')).success),
    { ...plain, kind: 'moment', meaning },
  );

export const yesNo = (meaning: string) => build(() => z.boolean(), { ...plain, kind: 'yes_no', meaning });

export const choice = <const T extends readonly [string, ...string[]]>(choices: T, meaning: string) =>
  build(() => z.enum(choices), { ...plain, kind: 'choice', choices, meaning });

/** Numbers in one cell, joined by hyphens or spaces: `1-5-3-6-2-4`, `0.60 0.65`. */
export const list = (unit: Unit, meaning: string) =>
  build(() => z.string().trim().regex(LIST), { ...plain, kind: 'list', unit, meaning });
