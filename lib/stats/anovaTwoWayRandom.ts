import { fsum } from 'd3-array';
import { ratio, source, type Source } from './anovaOneWay';
import type { CrossedTable } from './crossed';
import { moments } from './moments';
import { fTail } from './tails';

export interface Test {
  readonly f: number;
  readonly p: number;
}

export interface TwoWay {
  readonly part: Source;
  readonly operator: Source;
  readonly interaction: Source;
  /** Repeats within a cell; without degrees of freedom where nothing was read twice. */
  readonly error: Source;
  /** Interaction and error together: the error of the model without interaction. */
  readonly pooled: Source;
  /** Parts and operators are held against the interaction (both random), the interaction against the error. */
  readonly partTest: Test;
  readonly operatorTest: Test;
  readonly interactionTest: Test;
}

/** The mean that a series of finite numbers has. */
const mean = (values: readonly number[]): number => moments(values).mean;

function test(above: Source, below: Source): Test {
  const f = ratio(above, below);
  return { f, p: fTail(f, above.freedom, below.freedom) };
}

/**
 * Two-way analysis of variance with parts and operators both random, crossed and balanced. Squares are summed of the effects themselves,
 * about their means, not as differences of large sums. Source: textbooks; as in gauge studies (R. K. Burdick, C. M. Borror and D. C.
 * Montgomery, J. Qual. Technol. 35 (2003) 342-354, from memory).
 * @returns null for fewer than two parts or two operators. A test is NaN where what it is held against is not known, or both are 0.
 */
export function anovaTwoWayRandom({ cells, trials }: CrossedTable): TwoWay | null {
  const a = cells.length;
  const b = cells[0]?.length ?? 0;
  if (a < 2 || b < 2) return null;
  const cellMeans = cells.map((row) => row.map(mean));
  const partMeans = cellMeans.map(mean);
  const operatorMeans = Array.from({ length: b }, (_, o) => mean(cellMeans.map((row) => row[o] ?? NaN)));
  const all = mean(partMeans);
  const left = cellMeans.flatMap((row, p) =>
    row.map((cell, o) => cell - all - ((partMeans[p] ?? NaN) - all) - ((operatorMeans[o] ?? NaN) - all)),
  );
  const squaresOf = (values: readonly number[]) => fsum(values.map((d) => d * d));
  const part = source(b * trials * moments(partMeans).squares, a - 1);
  const operator = source(a * trials * moments(operatorMeans).squares, b - 1);
  const interaction = source(trials * squaresOf(left), (a - 1) * (b - 1));
  const error = source(fsum(cells.flat().map((cell) => moments(cell).squares)), a * b * (trials - 1));
  return {
    part,
    operator,
    interaction,
    error,
    pooled: source(interaction.squares + error.squares, interaction.freedom + error.freedom),
    partTest: test(part, interaction),
    operatorTest: test(operator, interaction),
    interactionTest: test(interaction, error),
  };
}
