import { isChange, madeChange } from '../../lib/calc/timing/phasing';
import type { JobCard } from '../../lib/store/questions/jobCard';
import type { JobPhasing } from '../../lib/store/questions/jobPhasing';
import { HEIGHT_KEPT } from '../../lib/words/adjusters';
import { bothHalves, type Writer } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { Adjustment, Figure, Written } from '../_shell/Figure';
import type { SheetColumn } from '../_shell/Sheet';
import { Verdict } from '../_shell/Verdict';
import { JudgedWhereStated } from './Judged';
import { eitherWay, place } from './place';

const stack = ({ figure }: Writer, first: number | null, second: number | null): string =>
  bothHalves(first, second, (mm) => figure(mm, 'shim', { bare: true }));

/** Whether the halves of a pair were changed and its height was not, for which no hand adds or removes. */
const keptHeight = ({ made_mm, ...row }: JobPhasing): boolean =>
  made_mm !== null &&
  !isChange(made_mm) &&
  (isChange(madeChange(row.before_mm ?? NaN, row.after_mm ?? NaN)) ||
    isChange(madeChange(row.before_second_mm ?? NaN, row.after_second_mm ?? NaN)));

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
    cell: (row) => <Figure value={row.error_deg} unit="cam_deg" within={eitherWay(row.tolerance_deg)} sign bare />,
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

const change = (
  adjuster: JobCard['adjuster'],
  name: 'shim_change_mm' | 'shim_step_mm' | 'plan_mm',
  decimals = 2,
): SheetColumn<JobPhasing> => ({
  label: { ...resultLabel('phasing', name), unit: null },
  cell: (row) => <Adjustment mm={row[name]} adjuster={adjuster} decimals={decimals} />,
  number: true,
});
const screws: SheetColumn<JobPhasing> = {
  label: { ...resultLabel('phasing', 'screw_turns'), unit: null },
  cell: (row) =>
    row.screw_turns === null ? (
      '–'
    ) : (
      <Written>{(write) => `${write.figure(row.screw_turns, 'ratio', { sign: true, decimals: 2 })} turns`}</Written>
    ),
  number: true,
};

/** Everything of one run, in the order in which the hand and the eye go. */
export function phasingColumns(adjuster: JobCard['adjuster']): readonly SheetColumn<JobPhasing>[] {
  return [
    ...closures.slice(0, 3),
    {
      label: resultLabel('phasing', 'error_deg'),
      cell: (row) => (
        <>
          <Figure value={row.error_deg} unit="cam_deg" within={eitherWay(row.tolerance_deg)} sign bare />
          {row.error_uncertainty_deg === null ? null : (
            <span className="under">
              ± <Figure value={row.error_uncertainty_deg} unit="cam_deg" bare />
            </span>
          )}
        </>
      ),
      number: true,
    },
    {
      label: resultLabel('phasing', 'verdict'),
      cell: (row) => (
        <JudgedWhereStated verdict={row.verdict} decision={row.decision} uncertainty={row.error_uncertainty_deg} />
      ),
    },
    change(adjuster, 'shim_change_mm', 3),
    adjuster === 'tappet_screw' ? screws : change(adjuster, 'shim_step_mm'),
    change(adjuster, 'plan_mm'),
    {
      label: resultLabel('phasing', 'planned_error_deg'),
      cell: (row) => <Figure value={row.planned_error_deg} unit="cam_deg" sign bare />,
      number: true,
    },
    {
      label: { ...resultLabel('phasing', 'made_mm'), unit: null },
      cell: (row) => (keptHeight(row) ? HEIGHT_KEPT : <Adjustment mm={row.made_mm} adjuster={adjuster} />),
      number: true,
    },
    {
      label: terms.stacks,
      head: 'Stack before, after',
      cell: (row) => (
        <>
          <Written>
            {(write) =>
              `${stack(write, row.before_mm, row.before_second_mm)} → ${stack(write, row.after_mm, row.after_second_mm)}`
            }
          </Written>
          {row.pair_difference_mm === null ? null : (
            <span className="under">
              pair differs by <Figure value={row.pair_difference_mm} unit="shim_fine" />
            </span>
          )}
          {row.batch === null ? null : <span className="under">batch {row.batch}</span>}
        </>
      ),
      number: true,
    },
    {
      label: terms.readFrom,
      cell: (row) => (
        <>
          {place(row.file, row.row_no)}
          {row.shims_file === null ? null : <span className="under">{place(row.shims_file, row.shims_row_no)}</span>}
        </>
      ),
      source: true,
    },
  ];
}
