import type { Confidence } from '../log/mapping/evidence';
import type { DateOrder, DecimalSign, ThousandsMark } from '../log/mapping/notation';
import type { Delimiter, Encoding } from '../log/mapping/read';

/** Words of the panel that maps a shop's own sheet. */

export const encodingWords: Readonly<Record<Encoding, string>> = {
  'utf-8': 'UTF-8',
  'utf-16le': 'UTF-16, little end first',
  'utf-16be': 'UTF-16, big end first',
  'windows-1252': 'Windows-1252',
};

export const delimiterWords: Readonly<Record<Delimiter, string>> = {
  ',': 'commas',
  ';': 'semicolons',
  '\t': 'tabs',
  '|': 'upright strokes',
  '~': 'tildes',
};

export const decimalWords: Readonly<Record<DecimalSign, string>> = { point: 'point (12.5)', comma: 'comma (12,5)' };

export const thousandsWords: Readonly<Record<ThousandsMark, string>> = {
  none: 'none',
  point: 'point',
  comma: 'comma',
  space: 'space',
  apostrophe: 'apostrophe',
};

export const dateWords: Readonly<Record<DateOrder, string>> = {
  iso: 'year, month, day',
  dmy: 'day, month, year',
  mdy: 'month, day, year',
};

/** How sure a proposal is. */
export const confidenceWords: Readonly<Record<Confidence, string>> = {
  sure: 'sure',
  likely: 'likely',
  unsure: 'unsure: look at it',
  open: 'open: decide it',
};
