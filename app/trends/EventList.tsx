'use client';

import type { ReactElement } from 'react';
import { counted, day } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { kindWords, type Happening } from './events';

const columns: readonly SheetColumn<Happening>[] = [
  { label: terms.eventDay, cell: (row) => day(row.on), number: true },
  { label: terms.event, cell: (row) => kindWords[row.kind] },
  { label: terms.eventName, prose: true, cell: (row) => row.name },
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.model ?? 'all' },
];

/** What stands as ticks over the charts, with labels that had no room there. */
export function EventList({ events }: { events: readonly Happening[] }): ReactElement | null {
  if (events.length === 0) return null;
  return (
    <details className="block">
      <summary>What happened: {counted(events.length, 'event')} marked on the charts</summary>
      <Sheet
        caption="What happened"
        hideCaption
        columns={columns}
        rows={events}
        rowKey={(row) => `${row.kind} ${row.name} ${row.model ?? ''} ${row.on}`}
      />
    </details>
  );
}
