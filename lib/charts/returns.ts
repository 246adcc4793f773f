import * as Plot from '@observablehq/plot';
import { max } from 'd3-array';
import { count } from '../words/figures';
import { base, distinct, facetScales, grid, multiples, plotNames, type Room } from './frame';
import { role } from './roles';

/** A place of a falling curve: `share` of the pumps still out from `months` on, with its interval where there is one. */
export interface StillOutStep {
  readonly name: string;
  readonly months: number;
  readonly share: number;
  readonly low: number;
  readonly high: number;
}

/** Pumps still out and watched at the start of a year. */
export interface StillOutCount {
  readonly name: string;
  readonly months: number;
  readonly n: number;
}

/** Room kept under the lowest share for the numbers still out and watched [% of the axis]. */
const UNDER = 22;
/** Width that one such number takes [px]. */
const NUMBER_PX = 40;

/** The years whose numbers fit side by side under one small plot. */
function told(counts: readonly StillOutCount[], months: number, width: number): readonly StillOutCount[] {
  const fit = Math.max(1, Math.floor(width / NUMBER_PX));
  const step = [12, 24, 36, 48, 60, 120].find((candidate) => months / candidate <= fit) ?? 240;
  return counts.filter((row) => row.months % step === 0);
}

/** Curves of many steps as a plot can show them: of the steps within a pixel of each other the last, at which the curve then stands. */
function visible(steps: readonly StillOutStep[], pixels: number, longest: number): readonly StillOutStep[] {
  const pixelOf = (row: StillOutStep): number => Math.floor((row.months / longest) * pixels);
  return steps.filter((row, k) => {
    const after = steps[k + 1];
    return after === undefined || after.name !== row.name || pixelOf(after) !== pixelOf(row);
  });
}

/**
 * One small plot a name: share of pumps still out over the months since their job, as steps with their interval as a band, a thin line
 * at one half, and under the axis how many are still out and watched.
 */
export function stillOutPlot(
  all: readonly StillOutStep[],
  counts: readonly StillOutCount[],
  room: Room,
): Plot.PlotOptions {
  const names = distinct(all.map((row) => row.name));
  const cells = grid(names, room, 260);
  const facet = {
    fx: (row: { name: string }) => cells.fx(row.name),
    fy: (row: { name: string }) => cells.fy(row.name),
  };
  const longest = Math.max(12, max(all, (row) => row.months) ?? 0);
  const cell = room.width / cells.columns - 40;
  const steps = visible(all, cell, longest);
  return {
    ...base(room, 60 + 200 * cells.rows),
    ...multiples,
    x: {
      domain: [0, longest],
      ticks: Array.from({ length: Math.floor(longest / 12) + 1 }, (_, year) => 12 * year).filter(
        (tick) => tick % (longest > 60 ? 24 : 12) === 0,
      ),
      label: 'Months since the pump left',
      labelAnchor: 'center',
      labelArrow: 'none',
    },
    y: {
      domain: [-UNDER, 100],
      ticks: [0, 25, 50, 75, 100],
      label: 'Still out (%)',
      labelArrow: 'none',
    },
    ...facetScales(cells),
    marks: [
      Plot.gridY([25, 75, 100], { stroke: role.rule, strokeOpacity: 1 }),
      Plot.ruleY([0], { stroke: role.iron }),
      Plot.ruleY([50], { stroke: role.ink, strokeDasharray: '5 3' }),
      plotNames(names, cells),
      Plot.areaY(
        steps.filter((row) => Number.isFinite(row.low) && Number.isFinite(row.high)),
        {
          ...facet,
          x: 'months',
          y1: (row: StillOutStep) => 100 * row.low,
          y2: (row: StillOutStep) => 100 * row.high,
          fill: role.blueWash,
          curve: 'step-after',
          z: 'name',
        },
      ),
      Plot.lineY(steps, {
        ...facet,
        x: 'months',
        y: (row: StillOutStep) => 100 * row.share,
        stroke: role.blue,
        strokeWidth: 1.8,
        curve: 'step-after',
        z: 'name',
      }),
      Plot.text(told(counts, longest, cell), {
        ...facet,
        x: 'months',
        y: -UNDER / 2,
        text: (row: StillOutCount) => count(row.n),
        fill: role.iron,
      }),
      Plot.tip(
        steps,
        Plot.pointerX({
          ...facet,
          x: 'months',
          y: (row: StillOutStep) => 100 * row.share,
          fill: role.sheet,
          stroke: role.iron,
          title: (row: StillOutStep) =>
            `${row.name}, ${row.months.toFixed(1)} months\n${(100 * row.share).toFixed(0)} % still out` +
            (Number.isFinite(row.low)
              ? `\n95 %: ${(100 * row.low).toFixed(0)} to ${(100 * row.high).toFixed(0)} %`
              : ''),
        }),
      ),
    ],
  };
}
