'use client';

import { useEffect, useSyncExternalStore } from 'react';
import { session } from './session';
import { AT_FIRST, type LogSnapshot } from './states';

export type { LoadReport, LogState, Question } from './states';

const actions = {
  openDemo: session.openDemo,
  closeDemo: session.closeDemo,
  load: session.load,
  loadAgain: session.loadAgain,
  cancel: session.cancel,
  recalculate: session.recalculate,
  undo: session.undo,
  openAgain: session.openAgain,
  deleteAll: session.deleteAll,
};

/** The open log: its state, and what can be done with it. */
export function useLog(): LogSnapshot & typeof actions {
  const snapshot = useSyncExternalStore(session.subscribe, session.read, () => AT_FIRST);
  useEffect(() => {
    session.warm();
  }, []);
  return { ...snapshot, ...actions };
}
