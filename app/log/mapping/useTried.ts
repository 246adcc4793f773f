import { useEffect, useMemo, useState } from 'react';
import type { Mapping } from '../../../lib/log/mapping/mapping';
import { MOST_TRIED_BYTES } from '../../../lib/log/mapping/most';
import { tryOut, type Tried } from '../../../lib/log/mapping/tryOut';
import { session } from '../../_log/session';
import type { Extent } from './PreviewTables';

interface Answered {
  readonly mapping: Mapping;
  readonly tried: Tried;
}

/** Long enough for a word to be typed before a large sheet is gone through again. */
const PAUSE_MS = 400;

/**
 * What a mapping makes of a sheet: at once of its first rows, and of all of them as soon as the worker has gone through it.
 *
 * @param rows the rows that are at hand, which are all where `cut` is false
 */
export function useTried(
  mapping: Mapping,
  blob: Blob,
  rows: readonly (readonly string[])[],
  cut: boolean,
): { readonly tried: Tried; readonly extent: Extent } {
  const told = JSON.stringify(mapping);
  // A mapping is made anew at every stroke of a key; the same one is not tried again.
  const steady = useMemo(() => JSON.parse(told) as Mapping, [told]);
  const first = useMemo(() => tryOut(steady, rows), [steady, rows]);
  const [answered, setAnswered] = useState<Answered | null>(null);
  const counts = cut && blob.size <= MOST_TRIED_BYTES;
  useEffect(() => {
    if (!counts) return undefined;
    let left = false;
    const pause = setTimeout(() => {
      session.tryOut(blob, steady).then(
        (tried) => {
          if (!left) setAnswered({ mapping: steady, tried });
        },
        () => {
          if (!left) setAnswered({ mapping: steady, tried: { ok: false, reason: GONE } });
        },
      );
    }, PAUSE_MS);
    return () => {
      left = true;
      clearTimeout(pause);
    };
  }, [counts, blob, steady]);
  if (!cut) return { tried: first, extent: 'whole' };
  if (!counts) return { tried: first, extent: 'first rows' };
  return answered?.mapping === steady
    ? { tried: answered.tried, extent: 'whole' }
    : { tried: first, extent: 'counting' };
}

const GONE = "The file can't be read any more. Choose it again.";
