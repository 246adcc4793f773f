import type { ErrorOfElement } from '../../lib/store/questions/phaseErrorsByModel';
import { count, percent } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { Figure, Written } from '../_shell/Figure';
import type { SheetColumn } from '../_shell/Sheet';

type ErrorFigures = Pick<ErrorOfElement, 'n' | 'median' | 'q1' | 'q3' | 'out'>;

/** Phase errors of many closures in a row: how many, their middle, and how many are out. */
export const errorFigures: readonly SheetColumn<ErrorFigures>[] = [
  { label: terms.n, cell: (row) => count(row.n), number: true },
  {
    label: terms.median,
    head: 'median error',
    cell: (row) => <Figure value={row.median} unit="cam_deg" sign />,
    number: true,
  },
  {
    label: terms.middleHalf,
    cell: (row) => (
      <Written>
        {({ figure }) => `${figure(row.q1, 'cam_deg', { sign: true })} to ${figure(row.q3, 'cam_deg', { sign: true })}`}
      </Written>
    ),
    number: true,
  },
  { label: { ...terms.share, unit: null }, cell: (row) => percent(row.out / row.n), number: true },
];

export const errorColumns: readonly SheetColumn<ErrorOfElement>[] = [
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
  { label: logLabel('closures', 'element'), cell: (row) => row.element, number: true },
  ...errorFigures,
];
