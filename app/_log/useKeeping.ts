'use client';

import { useSyncExternalStore } from 'react';
import { keeper, NOTHING_YET, type Keeping } from './keeper';

export { ownLogKept } from './keeper';
export { sentences } from '../../lib/keep/sentences';

const { dismiss, addNote, removeNote, addQuote, removeQuote } = keeper;
const actions = { dismiss, addNote, removeNote, addQuote, removeQuote };

/** What is kept in this browser, and what this tab may do with it. */
export const useKeeping = (): Keeping & typeof actions => ({
  ...useSyncExternalStore(keeper.subscribe, keeper.read, () => NOTHING_YET),
  ...actions,
});
