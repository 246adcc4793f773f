'use client';

import {
  createColumnHelper,
  createSortedRowModel,
  rowSortingFeature,
  sortFn_alphanumeric,
  sortFn_text,
  tableFeatures,
  useTable,
} from '@tanstack/react-table';
import { useVirtualizer } from '@tanstack/react-virtual';
import { useMemo, useRef, type ReactElement } from 'react';
import { LISTED_JOBS, type JobRow } from '../../lib/store/questions/jobList';
import { count, counted, day } from '../../lib/words/figures';
import { logLabel, resultLabel, type Label } from '../../lib/words/labels';
import { Note } from '../_shell/Notes';
import { RowLink } from '../_shell/RowLink';
import { scrollRegion } from '../_shell/scrollRegion';
import { useAddress } from '../_shell/useFilters';
import { FirstPass, Verdict } from '../_shell/Verdict';

const features = tableFeatures({
  rowSortingFeature,
  sortedRowModel: createSortedRowModel(),
  sortFns: { alphanumeric: sortFn_alphanumeric, text: sortFn_text },
});

/** The columns by what a row holds, with their label and share of the width [rem]. */
const heads: readonly { readonly id: keyof JobRow; readonly label: Label; readonly rem: number }[] = [
  { id: 'job_id', label: logLabel('jobs', 'job_id'), rem: 8 },
  { id: 'pump_serial', label: logLabel('jobs', 'pump_serial'), rem: 8 },
  { id: 'pump_model', label: logLabel('jobs', 'pump_model'), rem: 7 },
  { id: 'received_on', label: logLabel('jobs', 'received_on'), rem: 7.5 },
  { id: 'work_type', label: logLabel('jobs', 'work_type'), rem: 7 },
  { id: 'bench_id', label: logLabel('jobs', 'bench_id'), rem: 6 },
  { id: 'technician', label: logLabel('jobs', 'technician'), rem: 7 },
  { id: 'first_pass', label: resultLabel('outcomes', 'first_pass'), rem: 8 },
  { id: 'as_left', label: resultLabel('outcomes', 'as_left'), rem: 8.5 },
  { id: 'breaking', label: resultLabel('outcomes', 'breaking'), rem: 5 },
  { id: 'weakening', label: resultLabel('outcomes', 'weakening'), rem: 5 },
];

const helper = createColumnHelper<typeof features, JobRow>();
type Head = (typeof heads)[number];
const columnsOf = (shown: readonly Head[]) =>
  helper.columns(shown.map(({ id }) => helper.accessor(id, { id, sortFn: 'alphanumeric' })));
const unnamedHeads = heads.filter(({ id }) => id !== 'technician');
const allColumns = columnsOf(heads);
const unnamedColumns = columnsOf(unnamedHeads);

const ROW_PX = 34;

function Cell({ id, row, to }: { id: keyof JobRow; row: JobRow; to: ReturnType<typeof useAddress> }): ReactElement {
  switch (id) {
    case 'job_id':
      return <RowLink href={to('/job/', { id: row.job_id })}>{row.job_id}</RowLink>;
    case 'pump_serial':
      return <RowLink href={to('/wear/', { serial: row.pump_serial })}>{row.pump_serial}</RowLink>;
    case 'received_on':
      return <>{day(row.received_on)}</>;
    case 'first_pass':
      return <FirstPass answer={row.first_pass} />;
    case 'as_left':
      return <Verdict verdict={row.as_left} />;
    default:
      return <>{row[id] ?? '–'}</>;
  }
}

function matches(row: JobRow, find: string, named: boolean): boolean {
  const wanted = find.trim().toLowerCase();
  return [row.job_id, row.pump_serial, (named ? row.technician : null) ?? ''].some((text) =>
    text.toLowerCase().includes(wanted),
  );
}

interface Props {
  readonly rows: readonly JobRow[];
  readonly find: string;
  readonly pass: JobRow['first_pass'] | null;
  /** Whether technicians are shown and can be looked for. */
  readonly named: boolean;
}

/** A long list: sorted by a click on a head, only the rows in view are in the page. */
export function JobTable({ rows, find, pass, named }: Props): ReactElement {
  const to = useAddress();
  const data = useMemo(
    () => rows.filter((row) => matches(row, find, named) && (pass === null || row.first_pass === pass)),
    [rows, find, pass, named],
  );
  const shownHeads = named ? heads : unnamedHeads;
  const table = useTable({ features, columns: named ? allColumns : unnamedColumns, data });
  const sorted = table.getRowModel().rows;
  const scroll = useRef<HTMLDivElement | null>(null);
  const virtualizer = useVirtualizer({
    count: sorted.length,
    getScrollElement: () => scroll.current,
    estimateSize: () => ROW_PX,
    overscan: 12,
  });
  if (data.length === 0) return <Note>No job matches.</Note>;
  const shown = virtualizer.getVirtualItems();
  const above = shown[0]?.start ?? 0;
  const below = virtualizer.getTotalSize() - (shown.at(-1)?.end ?? 0);
  const labelOf = new Map(heads.map((head) => [head.id as string, head.label]));
  return (
    <>
      <p className="quiet">
        {data.length < rows.length
          ? `${counted(data.length, 'job')} of ${count(rows.length)}, newest first until a head is pressed.`
          : rows.length === LISTED_JOBS
            ? `The newest ${count(LISTED_JOBS)} jobs that match. Narrow the dates to see older ones.`
            : `${counted(rows.length, 'job')}, newest first until a head is pressed.`}
      </p>
      <div className="list-scroll" ref={scroll} {...scrollRegion('Jobs')}>
        <table className="sheet" aria-rowcount={sorted.length + 1}>
          <colgroup>
            {shownHeads.map((head) => (
              <col key={head.id} style={{ width: `${head.rem}rem` }} />
            ))}
          </colgroup>
          <thead>
            {table.getHeaderGroups().map((group) => (
              <tr key={group.id} aria-rowindex={1}>
                {group.headers.map((header) => {
                  const order = header.column.getIsSorted();
                  const label = labelOf.get(header.id);
                  return (
                    <th
                      key={header.id}
                      scope="col"
                      title={label?.meaning}
                      aria-sort={order === 'asc' ? 'ascending' : order === 'desc' ? 'descending' : undefined}
                    >
                      <button type="button" className="sort" onClick={header.column.getToggleSortingHandler()}>
                        {label?.text}
                        <span aria-hidden="true">{order === 'asc' ? ' ↑' : order === 'desc' ? ' ↓' : ''}</span>
                      </button>
                    </th>
                  );
                })}
              </tr>
            ))}
          </thead>
          <tbody>
            {above > 0 ? (
              <tr aria-hidden="true">
                <td colSpan={shownHeads.length} style={{ height: above, padding: 0 }} />
              </tr>
            ) : null}
            {shown.map((item) => {
              const row = sorted[item.index];
              return row === undefined ? null : (
                <tr key={row.id} aria-rowindex={item.index + 2} style={{ height: ROW_PX }}>
                  {shownHeads.map((head) => (
                    <td key={head.id}>
                      <Cell id={head.id} row={row.original} to={to} />
                    </td>
                  ))}
                </tr>
              );
            })}
            {below > 0 ? (
              <tr aria-hidden="true">
                <td colSpan={shownHeads.length} style={{ height: below, padding: 0 }} />
              </tr>
            ) : null}
          </tbody>
        </table>
      </div>
    </>
  );
}
