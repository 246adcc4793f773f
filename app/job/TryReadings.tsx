import type { ReactElement } from 'react';
import type { JobReadings } from '../../lib/store/questions/jobReadings';
import { formOf } from '../../lib/units/display';
import { stepTyped, typed } from '../../lib/units/typed';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { Figure } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { Verdict } from '../_shell/Verdict';
import { useUnits } from '../_shell/useUnits';
import { eitherWay } from './place';
import { editOf, isRefused, keyOf, limitsOf, unitOf, type Edit, type Edits, type Tried, type WorkedOut } from './tried';

interface Fields {
  readonly job: JobReadings;
  readonly run: number;
  readonly edits: Edits;
  /** Null puts the logged figure back. */
  readonly edit: (key: string, change: Edit | null) => void;
  readonly logged: WorkedOut;
  readonly tried: WorkedOut;
}

interface FieldProps {
  readonly column: Tried;
  readonly row: number;
  readonly value: number;
  /** What it is a reading of; the unit is said after it. */
  readonly label: string;
  /** In the unit of the log. */
  readonly step: number;
  readonly edits: Edits;
  readonly edit: Fields['edit'];
}

/** Stands for what a number field can't hand out: letters, or a number too large. */
const NOT_A_NUMBER = 'not a number';

function Field({ column, row, value, label, step, edits, edit }: FieldProps): ReactElement {
  const { display, spoken } = useUnits();
  const unit = unitOf[column];
  const key = keyOf(column, row);
  const change = edits.get(key);
  const logged = typed(value, unit, display);
  const refused = change !== undefined && isRefused(change);
  const [low, high] = limitsOf(column).map((limit) => typed(limit, unit, display));
  // What was typed in other units stands here in those chosen since.
  const text =
    change === undefined
      ? logged
      : change.display === display || refused
        ? change.text
        : typed(change.value, unit, display);
  const take = (written: string, bad: boolean): void => {
    edit(key, written === logged ? null : editOf(column, bad ? NOT_A_NUMBER : written, display));
  };
  const inMinutes = formOf(unit, display).minutes;
  const shared = {
    className: 'try-field',
    'aria-label': `${label}, ${spoken(unit)}`,
    'aria-invalid': refused,
    value: text,
    'data-changed': change !== undefined,
  } as const;
  return (
    <>
      {inMinutes ? (
        <input
          type="text"
          {...shared}
          onChange={(event) => {
            take(event.currentTarget.value, false);
          }}
        />
      ) : (
        <input
          type="number"
          {...shared}
          step={stepTyped(step, unit, display)}
          min={low}
          max={high}
          onChange={(event) => {
            take(event.currentTarget.value, event.currentTarget.validity.badInput);
          }}
        />
      )}
      {refused ? (
        <span className="quiet" role="alert">
          not read: {inMinutes ? 'degrees, or degrees and minutes,' : 'a number'} from {low} to {high}
        </span>
      ) : null}
    </>
  );
}

const rowsOf = (runs: Int32Array, run: number): readonly number[] =>
  [...runs.keys()].filter((row) => runs[row] === run);

/** Closures and the reference lift of the run. */
export function ClosureFields({ job, run, edits, edit, logged, tried }: Fields): ReactElement | null {
  const { closures } = job.readings;
  const rows = rowsOf(closures.run, run);
  if (rows.length === 0) return null;
  const elementOf = (row: number): number => closures.element[row] ?? 0;
  const of = (from: WorkedOut, row: number): WorkedOut['phasing'][number] | undefined =>
    from.phasing.find((one) => one.run === run && one.element === elementOf(row));
  const allowed = eitherWay(logged.timing.find((one) => one.run === run)?.tolerance_deg ?? null);
  const reference = [...job.specs.values()][0]?.firing_order[0] ?? 1;
  // The lift of the other elements, where it was read, judges nothing.
  const liftOf = (row: number): number =>
    elementOf(row) === reference ? (closures.lift_mm[row] ?? Number.NaN) : Number.NaN;
  const readsLift = rows.some((row) => !Number.isNaN(liftOf(row)));
  const lift: SheetColumn<number> = {
    label: logLabel('closures', 'lift_mm'),
    cell: (row) => {
      const value = liftOf(row);
      return Number.isNaN(value) ? (
        '–'
      ) : (
        <Field
          column="lift_mm"
          row={row}
          value={value}
          step={0.01}
          label={`Lift read, element ${elementOf(row)}`}
          edits={edits}
          edit={edit}
        />
      );
    },
    number: true,
  };
  const columns: readonly SheetColumn<number>[] = [
    { label: logLabel('closures', 'element'), cell: elementOf, number: true },
    {
      label: logLabel('closures', 'cam_deg'),
      cell: (row) => (
        <Field
          column="cam_deg"
          row={row}
          value={closures.cam_deg[row] ?? Number.NaN}
          step={0.05}
          label={`Closure read, element ${elementOf(row)}`}
          edits={edits}
          edit={edit}
        />
      ),
      number: true,
    },
    ...(readsLift ? [lift] : []),
    {
      label: terms.phaseError,
      head: 'Error as logged',
      cell: (row) => <Figure value={of(logged, row)?.error_deg ?? null} unit="cam_deg" within={allowed} sign bare />,
      number: true,
    },
    {
      label: terms.phaseError,
      head: 'Error tried',
      cell: (row) => <Figure value={of(tried, row)?.error_deg ?? null} unit="cam_deg" within={allowed} sign bare />,
      number: true,
    },
    {
      label: resultLabel('phasing', 'verdict'),
      head: 'Tried',
      cell: (row) => <Verdict verdict={of(tried, row)?.verdict ?? 'not measured'} />,
    },
  ];
  return <Sheet caption={`Closures of run ${run}`} tall columns={columns} rows={rows} rowKey={String} />;
}

/** Volumes drawn at one test point of the run. */
export function VolumeFields({
  job,
  run,
  edits,
  edit,
  logged,
  tried,
  point,
}: Fields & { point: number }): ReactElement {
  const { draws } = job.readings;
  const rows = rowsOf(draws.run, run).filter((row) => draws.point[row] === point);
  const elementOf = (row: number): number => draws.element[row] ?? 0;
  const of = (from: WorkedOut, row: number): WorkedOut['deliveries'][number] | undefined =>
    from.deliveries.find((one) => one.run === run && one.point === point && one.element === elementOf(row));
  const columns: readonly SheetColumn<number>[] = [
    { label: logLabel('draws', 'element'), cell: elementOf, number: true },
    { label: logLabel('draws', 'repeat'), cell: (row) => draws.repeat[row] ?? 0, number: true },
    {
      label: logLabel('draws', 'volume_cm3'),
      cell: (row) => (
        <Field
          column="volume_cm3"
          row={row}
          value={draws.volume_cm3[row] ?? Number.NaN}
          step={0.1}
          label={`Volume, element ${elementOf(row)}, draw ${draws.repeat[row] ?? 0}`}
          edits={edits}
          edit={edit}
        />
      ),
      number: true,
    },
    {
      label: resultLabel('deliveries', 'mm3_per_stroke'),
      head: 'Delivery as logged',
      cell: (row) => <Figure value={of(logged, row)?.mm3_per_stroke ?? null} unit="mm3_per_stroke" bare decimals={2} />,
      number: true,
    },
    {
      label: resultLabel('deliveries', 'mm3_per_stroke'),
      head: 'Delivery tried',
      cell: (row) => <Figure value={of(tried, row)?.mm3_per_stroke ?? null} unit="mm3_per_stroke" bare decimals={2} />,
      number: true,
    },
    {
      label: resultLabel('deliveries', 'verdict'),
      head: 'Tried',
      cell: (row) => <Verdict verdict={of(tried, row)?.verdict ?? 'not measured'} />,
    },
  ];
  return (
    <Sheet
      caption={`Draws at ${job.points[point] ?? ''}, run ${run}`}
      tall
      columns={columns}
      rows={rows}
      rowKey={String}
    />
  );
}
