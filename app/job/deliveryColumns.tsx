import type { Unit } from '../../lib/units/units';
import type { JobDelivery } from '../../lib/store/questions/jobDeliveries';
import type { JobDraw } from '../../lib/store/questions/jobDraws';
import type { JobPoint } from '../../lib/store/questions/jobPoints';
import type { Writer } from '../../lib/words/figures';
import { logLabel, resultLabel, spreadBases, terms } from '../../lib/words/labels';
import { Figure, Written } from '../_shell/Figure';
import type { SheetColumn } from '../_shell/Sheet';
import { Verdict } from '../_shell/Verdict';
import { Judged } from './Judged';

export const deliveryColumns: readonly SheetColumn<JobDelivery>[] = [
  { label: resultLabel('deliveries', 'run'), cell: (row) => row.run, number: true },
  { label: resultLabel('deliveries', 'element'), cell: (row) => row.element, number: true },
  {
    label: resultLabel('deliveries', 'mm3_per_stroke'),
    cell: (row) => <Figure value={row.mm3_per_stroke} unit="mm3_per_stroke" bare decimals={2} />,
    number: true,
  },
  {
    label: resultLabel('deliveries', 'deviation_mm3'),
    cell: (row) => <Figure value={row.deviation_mm3} unit="mm3_per_stroke" bare sign decimals={2} />,
    number: true,
  },
  { label: resultLabel('deliveries', 'draws'), cell: (row) => row.draws, number: true },
  { label: resultLabel('deliveries', 'excluded'), cell: (row) => row.excluded, number: true },
  {
    label: resultLabel('deliveries', 'repeat_range_mm3'),
    cell: (row) => <Figure value={row.repeat_range_mm3} unit="mm3_per_stroke" bare decimals={2} />,
    number: true,
  },
  {
    label: resultLabel('deliveries', 'uncertainty_mm3'),
    cell: (row) => <Figure value={row.uncertainty_mm3} unit="mm3_per_stroke" bare decimals={2} />,
    number: true,
  },
  {
    label: resultLabel('deliveries', 'at_reference_mm3'),
    cell: (row) => <Figure value={row.at_reference_mm3} unit="mm3_per_stroke" bare decimals={2} />,
    number: true,
  },
  { label: resultLabel('deliveries', 'verdict'), cell: (row) => <Verdict verdict={row.verdict} /> },
];

function basisOf(row: JobPoint): (typeof spreadBases)[keyof typeof spreadBases] {
  const found = Object.entries(spreadBases).find(([basis]) => basis === row.spread_basis);
  return found?.[1] ?? spreadBases['none asked'];
}

const plusMinus = (write: Writer, value: number | null, unit: Unit): string | null =>
  value === null ? null : `± ${write.figure(value, unit, { bare: true, decimals: 2 })}`;

export const pointColumns: readonly SheetColumn<JobPoint>[] = [
  { label: resultLabel('points', 'run'), cell: (row) => row.run, number: true },
  { label: resultLabel('points', 'elements_measured'), cell: (row) => row.elements_measured, number: true },
  {
    label: resultLabel('points', 'mean_mm3'),
    cell: (row) => (
      <>
        <Figure value={row.mean_mm3} unit="mm3_per_stroke" within={[row.low_mm3, row.high_mm3]} bare decimals={2} />
        <span className="under">
          <Written>{(write) => plusMinus(write, row.mean_uncertainty_mm3, 'mm3_per_stroke')}</Written>
        </span>
      </>
    ),
    number: true,
  },
  {
    label: resultLabel('points', 'mean_at_reference_mm3'),
    cell: (row) => <Figure value={row.mean_at_reference_mm3} unit="mm3_per_stroke" bare decimals={2} />,
    number: true,
  },
  {
    label: { ...terms.bandAllowed, unit: 'mm3_per_stroke' },
    cell: (row) => (
      <Written>
        {({ figure }) =>
          `${figure(row.low_mm3, 'mm3_per_stroke', { bare: true })} to ${figure(row.high_mm3, 'mm3_per_stroke', { bare: true })}`
        }
      </Written>
    ),
    number: true,
  },
  { label: resultLabel('points', 'mean_verdict'), cell: (row) => <Verdict verdict={row.mean_verdict} /> },
  {
    label: { ...resultLabel('points', 'spread'), unit: null },
    cell: (row) => (
      <>
        <Figure value={row.spread} unit={basisOf(row).unit} within={[null, row.spread_limit]} decimals={2} />
        <span className="under">
          <Written>{(write) => plusMinus(write, row.spread_uncertainty, basisOf(row).unit)}</Written>
        </span>
      </>
    ),
    number: true,
  },
  {
    label: { ...resultLabel('points', 'spread_limit'), unit: null },
    cell: (row) => <Figure value={row.spread_limit} unit={basisOf(row).unit} />,
    number: true,
  },
  { label: resultLabel('points', 'spread_basis'), prose: true, cell: (row) => basisOf(row).text },
  {
    label: resultLabel('points', 'spread_verdict'),
    cell: (row) => (row.spread_basis === 'none asked' ? '–' : <Verdict verdict={row.spread_verdict} />),
  },
  { label: resultLabel('points', 'unchecked'), cell: (row) => row.unchecked, number: true },
  {
    label: resultLabel('points', 'verdict'),
    cell: (row) => <Judged verdict={row.verdict} decision={row.decision} uncertainty={row.mean_uncertainty_mm3} />,
  },
];

export const drawColumns: readonly SheetColumn<JobDraw>[] = [
  { label: logLabel('draws', 'run'), cell: (row) => row.run, number: true },
  { label: logLabel('draws', 'element'), cell: (row) => row.element, number: true },
  { label: logLabel('draws', 'repeat'), cell: (row) => row.repeat, number: true },
  {
    label: logLabel('draws', 'volume_cm3'),
    cell: (row) => <Figure value={row.volume_cm3} unit="cm3" bare />,
    number: true,
  },
  { label: { ...logLabel('draws', 'strokes'), unit: null }, cell: (row) => row.strokes, number: true },
  {
    label: resultLabel('deliveries', 'mm3_per_stroke'),
    cell: (row) => <Figure value={row.mm3_per_stroke} unit="mm3_per_stroke" bare decimals={2} />,
    number: true,
  },
  {
    label: logLabel('draws', 'stated_mm3_per_stroke'),
    cell: (row) => <Figure value={row.stated_mm3_per_stroke} unit="mm3_per_stroke" bare />,
    number: true,
  },
  {
    label: logLabel('draws', 'speed_rpm'),
    cell: (row) => <Figure value={row.speed_rpm} unit="rpm" bare />,
    number: true,
  },
  { label: logLabel('draws', 'rack_mm'), cell: (row) => <Figure value={row.rack_mm} unit="mm" bare />, number: true },
  {
    label: logLabel('draws', 'fluid_c'),
    cell: (row) => <Figure value={row.fluid_c} unit="celsius" bare />,
    number: true,
  },
  {
    label: logLabel('draws', 'feed_kpa'),
    cell: (row) => <Figure value={row.feed_kpa} unit="kpa" bare />,
    number: true,
  },
  { label: terms.excluded, prose: true, cell: (row) => row.reasons ?? '' },
  { label: terms.readFrom, cell: (row) => `${row.file}, row ${row.row_no}`, source: true },
];
