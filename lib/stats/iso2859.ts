/**
 * ISO 2859-1 single sampling, normal inspection, general levels I to III, for items that conform or do not. Code letters and master table are
 * those of MIL-STD-105E (1989, in the public domain), tables I and II-A, which the standard took over: columns 0.65 to 10 read in a reprint
 * (a table of sample sizes for services, level II); the others by the order in which every column repeats, compared with the rows of a copy of the
 * military standard.
 */

export const inspectionLevels = ['I', 'II', 'III'] as const;
export type InspectionLevel = (typeof inspectionLevels)[number];

export const codeLetters = ['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'Q', 'R'] as const;
export type CodeLetter = (typeof codeLetters)[number];

/** Items to draw, by code letter. */
export const sampleSizes: Readonly<Record<CodeLetter, number>> = {
  ...{ A: 2, B: 3, C: 5, D: 8, E: 13, F: 20, G: 32, H: 50 },
  ...{ J: 80, K: 125, L: 200, M: 315, N: 500, P: 800, Q: 1250, R: 2000 },
};

/** Acceptable quality limits [per cent not conforming]; those above 10 are for counts of faults, not for items. */
export const qualityLimits = [
  ...[0.01, 0.015, 0.025, 0.04, 0.065, 0.1, 0.15, 0.25],
  ...[0.4, 0.65, 1, 1.5, 2.5, 4, 6.5, 10],
] as const;
export type QualityLimit = (typeof qualityLimits)[number];

/** Largest lot of each row, and its letters at levels I, II, III. */
const lots: readonly (readonly [upTo: number, letters: readonly [CodeLetter, CodeLetter, CodeLetter]])[] = [
  [8, ['A', 'A', 'B']],
  [15, ['A', 'B', 'C']],
  [25, ['B', 'C', 'D']],
  [50, ['C', 'D', 'E']],
  [90, ['C', 'E', 'F']],
  [150, ['D', 'F', 'G']],
  [280, ['E', 'G', 'H']],
  [500, ['F', 'H', 'J']],
  [1200, ['G', 'J', 'K']],
  [3200, ['H', 'K', 'L']],
  [10_000, ['J', 'L', 'M']],
  [35_000, ['K', 'M', 'N']],
  [150_000, ['L', 'N', 'P']],
  [500_000, ['M', 'P', 'Q']],
  [Infinity, ['N', 'Q', 'R']],
];

/**
 * The master table is one sequence read along its diagonals: place = row of the letter + column of the limit, from place 14 on. `up` and `down`
 * are its arrows: the first plan above or below in the same column.
 */
const FIRST_PLACE = 14;
const diagonals = [0, 'up', 'down', 1, 2, 3, 5, 7, 10, 14, 21] as const;

type Cell = number | 'up' | 'down';
function cellAt(row: number, column: number): Cell {
  const place = row + column - FIRST_PLACE;
  if (place < 0) return 'down';
  const cell = diagonals[place] ?? 'up';
  // At the ends of a column an arrow has one way left.
  if (row === 0 && cell === 'up') return 'down';
  return row === codeLetters.length - 1 && cell === 'down' ? 'up' : cell;
}

export interface StandardPlan {
  /** Letter of the lot, and letter of the plan that an arrow leads to. */
  readonly letter: CodeLetter;
  readonly planLetter: CodeLetter;
  readonly n: number;
  /** Accept up to Ac items that do not conform, refuse from Re on. */
  readonly ac: number;
  readonly re: number;
  /** The sample is as large as the lot or larger: look at every item. */
  readonly whole: boolean;
}

/** The letter of a lot. @param lot items, at least 2 */
export function codeLetter(lot: number, level: InspectionLevel): CodeLetter | null {
  if (!Number.isInteger(lot) || lot < 2) return null;
  return lots.find(([upTo]) => lot <= upTo)?.[1][inspectionLevels.indexOf(level)] ?? null;
}

/**
 * The plan of the master table. Where the sample would be as large as the lot, `n` is the lot and every item is looked at.
 * @param lot items, at least 2
 * @param limit acceptable quality limit [per cent not conforming]
 * @returns null for a lot of fewer than two
 */
export function standardPlan(lot: number, level: InspectionLevel, limit: QualityLimit): StandardPlan | null {
  const letter = codeLetter(lot, level);
  if (letter === null) return null;
  const column = qualityLimits.indexOf(limit);
  let row = codeLetters.indexOf(letter);
  let cell = cellAt(row, column);
  const way = cell === 'up' ? -1 : 1;
  while (typeof cell !== 'number') {
    row += way;
    cell = cellAt(row, column);
  }
  const planLetter = codeLetters[row] ?? letter;
  const size = sampleSizes[planLetter];
  return { letter, planLetter, n: Math.min(lot, size), ac: cell, re: cell + 1, whole: size >= lot };
}
