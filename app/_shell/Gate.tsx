'use client';

import type { ReactElement, ReactNode } from 'react';
import { useLog } from '../_log/useLog';
import { ChooseFiles } from './LogDrop';
import { Note } from './Notes';
import { Progress } from './Progress';
import { Start } from './Start';

interface Props {
  /** Whether the page has something to tell before all jobs are recalculated. */
  readonly early?: boolean;
  readonly children: ReactNode;
}

/** Shows a page once a log is open; until then, what stands in its way. */
export function Gate({ early = false, children }: Props): ReactElement {
  const { state, cancel } = useLog();
  switch (state.phase) {
    case 'starting':
      return (
        <p className="quiet" role="status">
          Starting the database …
        </p>
      );
    case 'empty':
      return <Start />;
    case 'calculating':
      return (
        <div className="stack">
          <Progress state={state} cancel={cancel} />
          {early ? children : null}
        </div>
      );
    case 'loading':
      return <Progress state={state} cancel={cancel} />;
    case 'failed':
      return (
        <div className="stack">
          <Note warm>The log could not be opened. {state.message}</Note>
          <div>
            <ChooseFiles />
          </div>
        </div>
      );
    case 'asking':
    case 'open':
      return <>{children}</>;
  }
}
