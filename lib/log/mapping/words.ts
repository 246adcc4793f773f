import type { Column } from '../table';
import { faultOf } from '../verdict';
import { normalName } from './mapping';

/** The shop's own words in columns where the log knows certain words only, and what they most likely stand for. */

/** The words that the log takes in a column; none where it takes any text or figure. */
export function logWords(column: Column | undefined): readonly string[] {
  if (column?.kind === 'yes_no') return ['yes', 'no'];
  return column?.choices ?? [];
}

const MOST_WORDS = 40;

/** The different cells of a column that the log would not take as they are written, as they stand first. */
export function foreignWords(column: Column | undefined, cells: readonly string[]): readonly string[] {
  if (column === undefined || logWords(column).length === 0) return [];
  const seen = new Map<string, string>();
  for (const cell of cells) {
    const name = normalName(cell);
    if (name !== '' && !seen.has(name)) seen.set(name, cell.trim());
    if (seen.size >= MOST_WORDS) break;
  }
  return [...seen.values()].filter((word) => faultOf(column, word) !== null);
}

/** Words of shops for a word of the log, whichever column it stands in. */
const shopWords: Readonly<Record<string, readonly string[]>> = {
  rebuild: [
    'overhaul',
    'overhauled',
    'full overhaul',
    'rebuilt',
    'recondition',
    'reconditioned',
    'reseal and rebuild',
    'überholung',
    'überholen',
    'generalüberholung',
    'révision',
    'reconstrucción',
  ],
  recalibrate: [
    'recalibration',
    'recal',
    're-cal',
    'calibrate',
    'calibration',
    'cal',
    'set',
    'reset',
    'adjust',
    'einstellen',
    'einstellung',
    'kalibrieren',
    'kalibrierung',
    'réglage',
    'calibrado',
  ],
  test: [
    'test only',
    'tested',
    'check',
    'check only',
    'bench test',
    'prüfen',
    'prüfung',
    'nur prüfen',
    'essai',
    'prueba',
  ],
  pass: ['passed', 'ok', 'good', 'i.o.', 'io', 'bestanden', 'in ordnung'],
  fail: ['failed', 'not ok', 'nok', 'bad', 'n.i.o.', 'nio', 'nicht bestanden'],
  yes: ['ja', 'j', 'oui', 'sí', 'si', 's', 'x', '✓', '✔', 'wahr'],
  no: ['nein', 'nee', 'non', '-', '–', 'falsch'],
  'low-speed': ['low speed', 'low'],
  full: ['full load', 'volllast', 'vollast', 'voll'],
  part: ['part load', 'teillast'],
  start: ['starting', 'cranking', 'startmenge', 'excess'],
  idle: ['idling', 'tickover', 'leerlauf'],
};

/** What the shop's words most likely stand for, where that is known. */
export function proposedWords(column: Column, foreign: readonly string[]): Readonly<Record<string, string>> {
  const may = logWords(column);
  return Object.fromEntries(
    foreign.flatMap((word) => {
      const ours = may.find((each) => shopWords[each]?.includes(normalName(word)) === true);
      return ours === undefined ? [] : [[word, ours] as const];
    }),
  );
}
