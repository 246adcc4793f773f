import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { liftRate } from '../../lib/calc/cam';
import { drawWindows, isOutside, perStroke } from '../../lib/calc/delivery';
import { formulas, type Formula } from '../../lib/calc/formulas';
import { codes, layout, type ResultColumn, resultTables } from '../../lib/calc/layout';
import { ASSUMED_TOLERANCE_DEG, changeForPhase, nearestChange, phaseError, screwTurns } from '../../lib/calc/phasing';
import { retention } from '../../lib/calc/retention';
import { mean, spread } from '../../lib/calc/spread';
import { changeForLift, highestLift, liftError, lowestLift, referenceLift } from '../../lib/calc/timing';
import type { Adjuster, SpreadBasis } from '../../lib/calc/types';
import { judge } from '../../lib/calc/verdict';
import { wilson } from '../../lib/stats/wilson';
import { sixElements, testPoint } from './build';

const document = readFileSync(new URL('../../docs/method.md', import.meta.url), 'utf8');
const sections = new Map(
  document
    .split('\n## ')
    .slice(1)
    .map((section) => {
      const [heading = '', ...body] = section.split('\n');
      return [heading.toLowerCase().replaceAll(' ', '-'), body.join('\n')];
    }),
);

type Cells = ReadonlyMap<string, string>;

/** The worked examples of one section: the rows of its table, by the headings of their columns. */
function examples(anchor: string): Cells[] {
  const cells = (line: string) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim());
  const lines = (sections.get(anchor) ?? '').split('\n').filter((line) => line.startsWith('|'));
  const [header = '', , ...body] = lines;
  return body.map((line) => new Map(cells(header).map((name, k) => [name, cells(line)[k] ?? ''])));
}

const text = (row: Cells, name: string): string => {
  const cell = row.get(name);
  if (cell === undefined) throw new Error(`The worked example has no column ${name}`);
  return cell;
};
const number = (row: Cells, name: string): number => (text(row, name) === '' ? NaN : Number(text(row, name)));
const list = (row: Cells, name: string): number[] => text(row, name).split(' ').map(Number);

/** The figure equals the one written, to the decimals written; an empty cell means that none is told. */
function expectAsWritten(figure: number, row: Cells, name: string): void {
  const written = text(row, name);
  if (written === '') expect(figure).toBeNaN();
  else expect(figure).toBeCloseTo(Number(written), written.split('.')[1]?.length ?? 0);
}

const adjusters: readonly Adjuster[] = ['barrel_shim', 'tappet_shim', 'tappet_screw'];
const bases: readonly SpreadBasis[] = ['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent'];
function oneOf<T extends string>(words: readonly T[], row: Cells, name: string): T {
  const word = words.find((candidate) => candidate === text(row, name));
  if (word === undefined) throw new Error(`Not a known word: ${text(row, name)}`);
  return word;
}

/** What each section's table is worked out with. */
const runs: Record<string, (row: Cells) => void> = {
  'lift-to-port-closure': (row) => {
    const lift_mm = number(row, 'L');
    const spec = sixElements({ lift_mm, lift_minus_mm: number(row, 'a'), lift_plus_mm: number(row, 'b') });
    const h = referenceLift(number(row, 'reading'), number(row, 'preload'));
    expectAsWritten(h, row, 'h');
    expectAsWritten(liftError(spec, h), row, 'h − L');
    expectAsWritten(changeForLift(liftError(spec, h), oneOf(adjusters, row, 'adjuster')), row, 'Δs_ref');
    expect(codes.verdict[judge(h, lowestLift(spec), highestLift(spec))]).toBe(text(row, 'verdict'));
  },
  phasing: (row) => {
    const alpha = (360 * number(row, 'place')) / number(row, 'n');
    const e = phaseError(number(row, 'θ'), number(row, 'θ_ref'), alpha);
    const tolerance = text(row, 'T') === '' ? ASSUMED_TOLERANCE_DEG : number(row, 'T');
    expectAsWritten(e, row, 'e');
    expect(codes.verdict[judge(e, -tolerance, tolerance)]).toBe(text(row, 'verdict'));
  },
  'lift-rate': (row) => {
    const spec = sixElements({
      base_radius_mm: number(row, 'r₁'),
      roller_radius_mm: number(row, 'r₂'),
      lift_rate_mm_per_deg: number(row, 'stated'),
    });
    const { rate, basis } = liftRate(spec, number(row, 'h'));
    expectAsWritten(rate, row, 'v');
    expect(codes.lift_rate_basis[basis]).toBe(text(row, 'basis'));
  },
  'shim-change': (row) => {
    const adjuster = oneOf(adjusters, row, 'adjuster');
    const shims = text(row, 'shims');
    const given = Number(shims.split(' ')[1]);
    const spec = sixElements({
      adjuster,
      shim_step_mm: shims.startsWith('step') ? given : NaN,
      screw_mm_per_turn: shims.startsWith('pitch') ? given : NaN,
      shim_sizes_mm: /^\d/.test(shims) ? list(row, 'shims') : null,
    });
    const change = changeForPhase(number(row, 'e'), number(row, 'v'), adjuster);
    expectAsWritten(change, row, 'Δs');
    expectAsWritten(nearestChange(spec, change, number(row, 'stack')), row, 'Δs′');
    expectAsWritten(screwTurns(spec, change), row, 'N');
  },
  'delivery-per-stroke': (row) => {
    const draws = Float64Array.from(list(row, 'V'), (volume) => perStroke(volume, number(row, 'N')));
    expectAsWritten(mean(draws, draws.length), row, 'q');
    if (draws.length > 1) expectAsWritten(Math.max(...draws) - Math.min(...draws), row, 'R');
  },
  'what-counts-as-a-draw': (row) => {
    const point = testPoint({ speed_rpm: number(row, 'speed'), speed_tol_rpm: number(row, 'tolerance') });
    const { speed } = drawWindows(point);
    expectAsWritten(speed.low, row, 'low');
    expectAsWritten(speed.high, row, 'high');
    expect(isOutside(number(row, 'reading'), speed) ? 'excluded' : 'counts').toBe(text(row, 'answer'));
  },
  'mean-and-spread': (row) => {
    const q = Float64Array.from(list(row, 'q'));
    expectAsWritten(mean(q, q.length), row, 'q̄');
    expectAsWritten(spread(q, q.length, oneOf(bases, row, 'basis')), row, 'S');
  },
  'low-speed-retention': (row) => {
    expectAsWritten(retention(number(row, 'q at low speed'), number(row, 'q at rated speed')), row, 'ρ');
  },
  'rates-and-their-interval': (row) => {
    const { low, high } = wilson(number(row, 'k'), number(row, 'n'));
    expectAsWritten(low, row, 'low');
    expectAsWritten(high, row, 'high');
  },
};

describe('docs/method.md', () => {
  test.each(Object.entries(runs))('the worked examples under %s come out as written', (anchor, run) => {
    const rows = examples(anchor);
    expect(rows.length).toBeGreaterThan(1);
    rows.forEach(run);
  });

  test.each(Object.entries<Formula>(formulas))(
    '%s stands in the section that it points to, word for word',
    (_, formula) => {
      expect(sections.get(formula.anchor)).toContain(`    ${formula.text}\n`);
    },
  );
});

describe('formulas', () => {
  const named = Object.values<Formula>(formulas).flatMap(({ columns }) => columns);

  test('no result column is worked out in two ways', () => {
    expect(new Set(named).size).toBe(named.length);
  });

  test('every real result column but the limits that a specification states has its formula', () => {
    const stated = ['points.low_mm3', 'points.high_mm3'];
    const reals = resultTables.flatMap((table) =>
      Object.entries<ResultColumn>(layout[table].columns)
        .filter(([, column]) => column.type === 'real')
        .map(([name]) => `${table}.${name}`),
    );
    expect(reals.filter((name) => !stated.includes(name)).toSorted()).toEqual(
      named.filter((name) => reals.includes(name)).toSorted(),
    );
  });
});
