'use client';

import { useState, type ReactElement } from 'react';
import type { Arrived } from '../_log/incoming';
import { useLog } from '../_log/useLog';
import { ChooseFiles } from '../_shell/LogDrop';
import { Note } from '../_shell/Notes';
import { Progress } from '../_shell/Progress';
import { KeptMappings } from './mapping/KeptMappings';
import { MapSheet } from './mapping/MapSheet';
import { Kept } from './Kept';
import { LastLoad } from './LastLoad';
import { RecentFolderSection } from './RecentFolder';
import { RemarksOut } from './RemarksOut';
import { Sources } from './Sources';
import { SetAside } from './SetAside';
import { Templates } from './Templates';

/** What the log holds, what was set aside, and how to add to it. */
export function LogPage(): ReactElement {
  const { state, report, cancel, openDemo, recalculate, loadAgain } = useLog();
  const [mapped, setMapped] = useState<Arrived | null>(null);
  const foreign = report?.foreign ?? [];
  const busy = state.phase === 'loading' || state.phase === 'calculating' || state.phase === 'starting';
  return (
    <div className="page">
      <div className="stack">
        <h1>The log</h1>
        {state.phase === 'starting' ? (
          <p className="quiet" role="status">
            Starting the database …
          </p>
        ) : null}
        {state.phase === 'loading' || state.phase === 'calculating' ? <Progress state={state} cancel={cancel} /> : null}
        {state.phase === 'failed' ? <Note warm>The files could not be taken in. {state.message}</Note> : null}
        {busy ? null : (
          <div className="drop">
            <p>
              Drop files anywhere on this page, or choose them: CSV, Parquet or workbooks (.xlsx), any number at once.
              The table is recognised by its columns. A newer row with the same key takes the place of the older one.
            </p>
            <div className="row">
              <ChooseFiles primary />
              {state.phase === 'empty' ? (
                <button type="button" onClick={openDemo}>
                  Open the demo log
                </button>
              ) : null}
            </div>
          </div>
        )}
        {report === null || busy ? null : <LastLoad report={report} onResume={recalculate} onMap={setMapped} />}
      </div>
      {mapped === null || busy || !foreign.includes(mapped) ? null : (
        <MapSheet
          key={foreign.indexOf(mapped)}
          file={mapped.file}
          onRead={() => {
            // All of them: others of the same headers are read by the new mapping too.
            loadAgain(foreign);
          }}
          onClose={() => {
            setMapped(null);
          }}
        />
      )}
      {state.phase === 'open' || state.phase === 'asking' ? (
        <>
          <Sources />
          <SetAside />
          <RemarksOut />
        </>
      ) : null}
      <RecentFolderSection />
      <Kept />
      <KeptMappings
        onTaken={() => {
          if (foreign.length > 0) loadAgain(foreign);
        }}
      />
      <Templates />
    </div>
  );
}
