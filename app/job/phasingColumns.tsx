import type { JobCard } from '../../lib/store/questions/jobCard';
import type { JobPhasing } from '../../lib/store/questions/jobPhasing';
import { figure } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { Figure, ShimChange } from '../_shell/Figure';
import type { SheetColumn } from '../_shell/Sheet';
import { Verdict } from '../_shell/Verdict';
import { place } from './place';

/** `1.20`, or both halves of a split pair: `1.20 and 1.25`. */
const stack = (first: number | null, second: number | null): string =>
  second === null
    ? figure(first, 'mm', { bare: true })
    : `${figure(first, 'mm', { bare: true })} and ${figure(second, 'mm', { bare: true })}`;

const run: SheetColumn<JobPhasing> = { label: resultLabel('phasing', 'run'), cell: (row) => row.run, number: true };

/** The closures alone, for the table behind a plot. */
const closures: readonly SheetColumn<JobPhasing>[] = [
  { label: resultLabel('phasing', 'element'), cell: (row) => row.element, number: true },
  {
    label: logLabel('closures', 'cam_deg'),
    cell: (row) => <Figure value={row.cam_deg} unit="cam_deg" bare />,
    number: true,
  },
  {
    label: resultLabel('phasing', 'nominal_deg'),
    cell: (row) => <Figure value={row.nominal_deg} unit="cam_deg" bare />,
    number: true,
  },
  {
    label: resultLabel('phasing', 'error_deg'),
    cell: (row) => <Figure value={row.error_deg} unit="cam_deg" sign bare />,
    number: true,
  },
  {
    label: { ...terms.tolerance, text: 'Tolerance ±' },
    cell: (row) => <Figure value={row.tolerance_deg} unit="cam_deg" bare />,
    number: true,
  },
  { label: resultLabel('phasing', 'verdict'), cell: (row) => <Verdict verdict={row.verdict} /> },
];
export const closureColumns: readonly SheetColumn<JobPhasing>[] = [run, ...closures];

const screws: SheetColumn<JobPhasing> = {
  label: resultLabel('phasing', 'screw_turns'),
  cell: (row) => <Figure value={row.screw_turns} unit="ratio" sign decimals={2} />,
  number: true,
};

/** Everything of one run, in the order in which the hand and the eye go. */
export function phasingColumns(adjuster: JobCard['adjuster']): readonly SheetColumn<JobPhasing>[] {
  return [
    ...closures,
    {
      label: { ...resultLabel('phasing', 'shim_change_mm'), unit: null },
      cell: (row) => <ShimChange mm={row.shim_change_mm} decimals={3} />,
      number: true,
    },
    ...(adjuster === 'tappet_screw' ? [screws] : []),
    {
      label: { ...resultLabel('phasing', 'shim_step_mm'), unit: null },
      cell: (row) => <ShimChange mm={row.shim_step_mm} />,
      number: true,
    },
    {
      label: { ...resultLabel('phasing', 'made_mm'), unit: null },
      cell: (row) => <ShimChange mm={row.made_mm} />,
      number: true,
    },
    { label: logLabel('shims', 'before_mm'), cell: (row) => stack(row.before_mm, row.before_second_mm), number: true },
    { label: logLabel('shims', 'after_mm'), cell: (row) => stack(row.after_mm, row.after_second_mm), number: true },
    {
      label: resultLabel('phasing', 'pair_difference_mm'),
      cell: (row) => <Figure value={row.pair_difference_mm} unit="mm_fine" bare />,
      number: true,
    },
    { label: logLabel('shims', 'batch'), cell: (row) => row.batch ?? '–' },
    { label: terms.readFrom, cell: (row) => place(row.file, row.row_no), source: true },
    {
      label: terms.readFrom,
      head: 'Stack read from',
      cell: (row) => place(row.shims_file, row.shims_row_no),
      source: true,
    },
  ];
}
