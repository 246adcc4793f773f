import type { ReactElement } from 'react';
import type { JobReadings } from '../../lib/store/questions/jobReadings';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { Figure } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { Verdict } from '../_shell/Verdict';
import { isRefused, keyOf, limitsOf, type Edits, type Tried, type WorkedOut } from './tried';

interface Fields {
  readonly job: JobReadings;
  readonly run: number;
  readonly edits: Edits;
  /** Null puts the logged figure back. */
  readonly edit: (key: string, text: string | null) => void;
  readonly logged: WorkedOut;
  readonly tried: WorkedOut;
}

interface FieldProps {
  readonly column: Tried;
  readonly row: number;
  readonly value: number;
  readonly label: string;
  readonly step: number;
  readonly edits: Edits;
  readonly edit: Fields['edit'];
}

/** A logged figure without the dust of binary arithmetic. */
const written = (value: number): string => (Number.isNaN(value) ? '' : String(Number(value.toFixed(6))));

/** Stands for what a number field can't hand out: letters, or a number too large. */
const NOT_A_NUMBER = 'not a number';

function Field({ column, row, value, label, step, edits, edit }: FieldProps): ReactElement {
  const key = keyOf(column, row);
  const text = edits.get(key);
  const logged = written(value);
  const refused = text !== undefined && isRefused(column, text);
  const [low, high] = limitsOf(column);
  return (
    <>
      <input
        type="number"
        className="try-field"
        aria-label={label}
        aria-invalid={refused}
        step={step}
        min={low}
        max={high}
        value={text ?? logged}
        data-changed={text !== undefined}
        onChange={(event) => {
          const { value: typed, validity } = event.currentTarget;
          edit(key, typed === logged ? null : validity.badInput ? NOT_A_NUMBER : typed);
        }}
      />
      {refused ? (
        <span className="quiet" role="alert">
          not read: a number from {low} to {high}
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
          label={`Lift read, element ${elementOf(row)}, mm`}
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
          label={`Closure read, element ${elementOf(row)}, degrees of camshaft`}
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
      cell: (row) => <Figure value={of(logged, row)?.error_deg ?? null} unit="cam_deg" sign bare />,
      number: true,
    },
    {
      label: terms.phaseError,
      head: 'Error tried',
      cell: (row) => <Figure value={of(tried, row)?.error_deg ?? null} unit="cam_deg" sign bare />,
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
          label={`Volume, element ${elementOf(row)}, draw ${draws.repeat[row] ?? 0}, cm³`}
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
