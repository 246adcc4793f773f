'use client';

import { useId, useState, useSyncExternalStore, type ReactElement } from 'react';
import { readMapping, type Mapping } from '../../../lib/log/mapping/mapping';
import { keptMappings } from '../../_log/mappings';
import { Note } from '../../_shell/Notes';
import { PlainTable } from './PlainTable';
import { saveMapping } from './saveMapping';

const none: readonly Mapping[] = [];

/** Longer than any mapping. */
const MOST_BYTES = 2_000_000;

/** The mappings kept in this browser; a file with a mapping's headers is read by it. */
export function KeptMappings({ onTaken }: { onTaken: () => void }): ReactElement {
  const kept = useSyncExternalStore(keptMappings.subscribe, keptMappings.read, () => none);
  const [said, setSaid] = useState<string | null>(null);
  const id = useId();
  const take = async (file: File): Promise<void> => {
    const read =
      file.size > MOST_BYTES
        ? { ok: false as const, reason: 'This file is too large for a mapping.' }
        : readMapping(await file.text());
    if (!read.ok) {
      setSaid(`${file.name}: ${read.reason}`);
      return;
    }
    const lasting = keptMappings.keep(read.mapping);
    setSaid(
      lasting ? null : 'This browser keeps nothing: the mapping holds until the tab is closed. Save it to a file.',
    );
    onTaken();
  };
  return (
    <section className="section" aria-labelledby="mappings">
      <h2 id="mappings">Mappings</h2>
      <p>
        A mapping tells how a sheet with headers of its own is read. It is kept in this browser, and used for every file
        with the same headers.
      </p>
      <div>
        <label htmlFor={id} className="button">
          Take a mapping from a file
        </label>
        <input
          id={id}
          type="file"
          accept=".json"
          className="unseen"
          onChange={(event) => {
            const [file] = event.currentTarget.files ?? [];
            event.currentTarget.value = '';
            if (file === undefined) return;
            take(file).catch(() => {
              setSaid(`${file.name} can't be read.`);
            });
          }}
        />
      </div>
      {said === null ? null : <Note warm>{said}</Note>}
      {kept.length === 0 ? null : (
        <PlainTable
          caption="Mappings kept in this browser"
          header={['Name', 'Headers', 'Gives rows to', 'To do']}
          rows={kept.map((mapping) => [
            mapping.name,
            mapping.headers.join(', '),
            mapping.targets.map(({ table }) => table).join(', '),
            <span key="do" className="row">
              <button
                type="button"
                aria-label={`Save mapping ${mapping.name}`}
                onClick={() => {
                  saveMapping(mapping);
                }}
              >
                Save mapping
              </button>
              <button
                type="button"
                aria-label={`Forget ${mapping.name}`}
                onClick={() => {
                  keptMappings.forget(mapping);
                }}
              >
                Forget
              </button>
            </span>,
          ])}
        />
      )}
    </section>
  );
}
