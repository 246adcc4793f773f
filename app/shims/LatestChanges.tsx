'use client';

import { parseAsInteger, useQueryState } from 'nuqs';
import type { ReactElement } from 'react';
import { isChange } from '../../lib/calc/timing/phasing';
import { UNFILTERED } from '../../lib/store/filters';
import { latestShimChanges, LISTED_CHANGES, type ShimChangeRow } from '../../lib/store/questions/latestShimChanges';
import { shimChangesByModel } from '../../lib/store/questions/shimChangesByModel';
import { HEIGHT_KEPT } from '../../lib/words/adjusters';
import { count, day } from '../../lib/words/figures';
import { logLabel, resultLabel } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Adjustment, Figure } from '../_shell/Figure';
import { RowLink } from '../_shell/RowLink';
import { LongSheet, type SheetColumn } from '../_shell/Sheet';
import { address, useFilters } from '../_shell/useFilters';

/** The elements of the model, or of all models, whose stacks were changed at any time. */
function useElements(model: string | null, chosen: number | null): readonly number[] {
  const rows = useAsk(shimChangesByModel, UNFILTERED).rows ?? [];
  const changed = rows.filter((row) => model === null || row.pump_model === model).map((row) => row.element);
  return [...new Set(chosen === null ? changed : [...changed, chosen])].toSorted((a, b) => a - b);
}

/** The rows behind the plots, newest first; `element` in the URL narrows them. */
export function LatestChanges(): ReactElement {
  const [filters] = useFilters();
  const [element, setElement] = useQueryState('element', parseAsInteger);
  const asked = useAsk(latestShimChanges, { ...filters, element });
  const told = asked.args ?? filters;
  const elements = useElements(filters.model, element);
  const columns: readonly SheetColumn<ShimChangeRow>[] = [
    {
      label: logLabel('jobs', 'job_id'),
      cell: (row) => <RowLink href={address('/job/', told, { id: row.job_id })}>{row.job_id}</RowLink>,
    },
    {
      label: logLabel('jobs', 'pump_serial'),
      cell: (row) => <RowLink href={address('/wear/', told, { serial: row.pump_serial })}>{row.pump_serial}</RowLink>,
    },
    { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
    { label: logLabel('jobs', 'received_on'), cell: (row) => day(row.received_on), number: true },
    { label: logLabel('shims', 'run'), cell: (row) => row.run, number: true },
    { label: logLabel('shims', 'element'), cell: (row) => row.element, number: true },
    {
      label: resultLabel('phasing', 'error_deg'),
      cell: (row) => <Figure value={row.error_deg} unit="cam_deg" sign bare />,
      number: true,
    },
    {
      label: { ...resultLabel('phasing', 'shim_change_mm'), unit: null },
      cell: (row) => <Adjustment mm={row.shim_change_mm} adjuster={row.adjuster} />,
      number: true,
    },
    {
      label: { ...resultLabel('phasing', 'made_mm'), unit: null },
      cell: (row) => (isChange(row.made_mm) ? <Adjustment mm={row.made_mm} adjuster={row.adjuster} /> : HEIGHT_KEPT),
      number: true,
    },
    { label: logLabel('shims', 'batch'), cell: (row) => row.batch ?? '–' },
  ];
  return (
    <div className="stack">
      <label className="field">
        <span>Element</span>
        <select
          value={element ?? ''}
          data-set={element !== null}
          style={{ justifySelf: 'start' }}
          onChange={(event) => {
            const chosen = event.currentTarget.value;
            void setElement(chosen === '' ? null : Number(chosen));
          }}
        >
          <option value="">All elements</option>
          {elements.map((number) => (
            <option key={number} value={number}>
              {number}
            </option>
          ))}
        </select>
      </label>
      <Answer asked={asked} none="No change matches.">
        {(rows) => (
          <LongSheet
            caption={
              rows.length === LISTED_CHANGES
                ? `The newest ${count(rows.length)} changes`
                : `All ${count(rows.length)} changes`
            }
            columns={columns}
            rows={rows}
            rowKey={(row) => `${row.job_id} ${row.run} ${row.element}`}
          />
        )}
      </Answer>
    </div>
  );
}
