import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { anovaOneWay } from '../../lib/stats/anovaOneWay';
import { changeOfMean } from '../../lib/stats/changePoint';
import { changeOfShare } from '../../lib/stats/changeOfShare';
import { chartConstants } from '../../lib/stats/chartConstants';
import { cusum } from '../../lib/stats/cusum';
import { ewmaChart } from '../../lib/stats/ewma';
import { gaugeAnova } from '../../lib/stats/gaugeAnova';
import { gaugeRange } from '../../lib/stats/gaugeRange';
import { individualsChart } from '../../lib/stats/individuals';
import { fitLine } from '../../lib/stats/line';
import { laneyPChart, pChart } from '../../lib/stats/pChart';
import { ISO_7870_2, NELSON, runTests } from '../../lib/stats/runTests';
import { groupOffsets } from '../../lib/stats/welch';

type Cells = ReadonlyMap<string, string>;

const sections = new Map(
  readFileSync(new URL('../../docs/statistics-charts.md', import.meta.url), 'utf8')
    .split('\n## ')
    .slice(1)
    .map((section) => {
      const [heading = '', ...body] = section.split('\n');
      return [heading, body];
    }),
);

/** Rows of a section's table, by the headings of their columns. */
function examples(heading: string): Cells[] {
  const split = (line: string) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim());
  const lines = (sections.get(heading) ?? []).filter((line) => line.startsWith('|')).map(split);
  const [names = [], , ...rows] = lines;
  return rows.map((cells) => new Map(names.map((name, k) => [name, cells[k] ?? ''])));
}

function text(row: Cells, name: string): string {
  const cell = row.get(name);
  if (cell === undefined) throw new Error(`The worked example has no column ${name}`);
  return cell.replaceAll('−', '-');
}

const number = (row: Cells, name: string): number => (text(row, name) === '' ? NaN : Number(text(row, name)));
const numbers = (cell: string): number[] => cell.trim().split(' ').map(Number);
const list = (row: Cells, name: string): number[] => numbers(text(row, name));
const groups = (row: Cells): number[][] => text(row, 'groups').split(';').map(numbers);

/** The figure equals the one written, to the decimals written; an empty cell means that none is told. */
function asWritten(figure: number | null | undefined, row: Cells, name: string): void {
  const written = text(row, name);
  if (written === '') expect(figure ?? NaN, name).toBeNaN();
  else expect((figure ?? NaN).toFixed(written.split('.')[1]?.length ?? 0), name).toBe(written);
}

const places = (zeroBased: readonly number[] | undefined): string => (zeroBased ?? []).map((k) => k + 1).join(' ');
/** Points are numbered from 1 in the document. */
const place = (zeroBased: number | null | undefined): number => (zeroBased ?? NaN) + 1;

type Check = (row: Cells) => void;

const checks: Record<string, Check> = {
  'Factors of charts': (row) => {
    const told = chartConstants(number(row, 'n'));
    for (const name of ['c4', 'd2', 'd3', 'D3', 'D4'] as const) asWritten(told[name], row, name);
  },
  'Individuals and moving ranges': (row) => {
    const chart = individualsChart(list(row, 'x'));
    asWritten(chart?.centre, row, 'x̄');
    asWritten(chart?.sigma, row, 'σ');
    asWritten(chart?.low, row, 'low');
    asWritten(chart?.high, row, 'high');
    expect(places(chart?.out)).toBe(text(row, 'out'));
    expect(places(chart?.rangesOut)).toBe(text(row, 'ranges out'));
  },
  'Shares by period': (row) => {
    const plain = pChart(list(row, 'k'), list(row, 'n'));
    const laney = laneyPChart(list(row, 'k'), list(row, 'n'));
    asWritten(plain?.centre, row, 'p̄');
    asWritten(laney?.sigmaZ, row, 'σ_z');
    asWritten(plain?.low[0], row, 'first low');
    asWritten(plain?.high[0], row, 'first high');
    asWritten(laney?.low[0], row, 'with σ_z low');
    asWritten(laney?.high[0], row, 'with σ_z high');
    expect(places(plain?.out)).toBe(text(row, 'out'));
  },
  'Moving average that forgets (EWMA)': (row) => {
    const settings = { lambda: number(row, 'λ'), centre: number(row, 'centre'), sigma: number(row, 'σ') };
    const chart = ewmaChart(list(row, 'x'), settings);
    asWritten(chart?.average.at(-1), row, 'last z');
    asWritten(chart?.low.at(-1), row, 'last low');
    asWritten(chart?.high.at(-1), row, 'last high');
    expect(places(chart?.out)).toBe(text(row, 'out'));
  },
  'Cumulative sum (CUSUM)': (row) => {
    const told = cusum(list(row, 'x'), { target: number(row, 'target'), k: number(row, 'k'), h: number(row, 'h') });
    asWritten(told?.up.sums.at(-1), row, 'last up');
    asWritten(told?.down.sums.at(-1), row, 'last down');
    asWritten(place(told?.up.signal), row, 'up signal');
    asWritten(place(told?.up.began), row, 'began');
    asWritten(place(told?.down.signal), row, 'down signal');
  },
  'Tests for patterns': (row) => {
    const rules = { 'ISO 7870-2': ISO_7870_2, Nelson: NELSON }[text(row, 'set')];
    expect(runTests(list(row, 'z'), rules)).toEqual([
      { test: text(row, 'finding'), from: number(row, 'from') - 1, to: number(row, 'to') - 1 },
    ]);
  },
  'Change of level': (row) => {
    const told = changeOfMean(list(row, 'x'));
    asWritten(place(told?.at), row, 'first of the new level');
    asWritten(told?.before, row, 'before');
    asWritten(told?.after, row, 'after');
    asWritten(told?.statistic, row, 'T');
    asWritten(told?.p, row, 'p');
  },
  'Change of a share': (row) => {
    const told = changeOfShare(list(row, 'k'), list(row, 'n'));
    asWritten(place(told?.at), row, 'first of the new level');
    asWritten(told?.before, row, 'before');
    asWritten(told?.after, row, 'after');
    asWritten(told?.statistic, row, 'T');
    asWritten(told?.p, row, 'p');
  },
  'Straight line': (row) => {
    const line = fitLine(list(row, 'x'), list(row, 'y'));
    asWritten(line?.intercept, row, 'a');
    asWritten(line?.slope, row, 'b');
    asWritten(line?.residualSd, row, 's');
    asWritten(line?.r2, row, 'r²');
    asWritten(line?.slopeInterval.low, row, 'b low');
    asWritten(line?.slopeInterval.high, row, 'b high');
  },
  'Groups: analysis of variance': (row) => {
    const table = anovaOneWay(groups(row));
    asWritten(table?.between.meanSquare, row, 'MS_between');
    asWritten(table?.within.meanSquare, row, 'MS_within');
    asWritten(table?.f, row, 'F');
    asWritten(table?.p, row, 'p');
    asWritten(table?.betweenVariance, row, 'σ²_between');
  },
  'Gauge study': (row) => {
    const readings = text(row, 'readings of one part, operators apart by a stroke, parts by semicolons')
      .split(';')
      .flatMap((cells, part) =>
        cells.split('/').flatMap((cell, operator) => numbers(cell).map((value) => ({ part, operator, value }))),
      );
    const study = gaugeAnova(readings);
    if (study.kind !== 'study') throw new Error(study.kind);
    for (const name of ['repeatability', 'reproducibility', 'part'] as const) {
      asWritten(study.chosen[name].sd, row, name);
    }
    asWritten(study.chosen.gauge.sd, row, 'GRR');
    asWritten(study.chosen.gauge.percent, row, 'GRR %');
    asWritten(study.chosen.categories, row, 'categories');
    const byRange = gaugeRange(readings);
    asWritten(byRange?.repeatability, row, 'EV');
    asWritten(byRange?.reproducibility, row, 'AV');
    asWritten(byRange?.part, row, 'PV');
  },
  'Bench against bench': (row) => {
    const told = groupOffsets(groups(row))[number(row, 'bench') - 1];
    asWritten(told?.offset, row, 'offset');
    asWritten(told?.interval.low, row, 'low');
    asWritten(told?.interval.high, row, 'high');
    asWritten(told?.p, row, 'p');
  },
};

describe('the worked examples in docs/statistics-charts.md', () => {
  test('every section is checked', () => {
    expect([...sections.keys()]).toEqual(Object.keys(checks));
  });

  test.each(Object.entries(checks))('%s', (heading, check) => {
    const rows = examples(heading);
    expect(rows.length).toBeGreaterThan(0);
    rows.forEach(check);
  });
});
