'use client';

import { useEffect, useState, useSyncExternalStore } from 'react';
import type { AuditRecord } from '../../lib/report/record';
import { asWritten } from '../../lib/words/visible';
import { session } from '../_log/session';

export interface RecordAnswer {
  /** Null where the log has no such job. */
  readonly record: AuditRecord | null;
  readonly error: string | null;
}

/** The record of a job, and again whenever the log changes; null while it is put together. */
export function useRecord(id: string): RecordAnswer | null {
  const version = useSyncExternalStore(
    session.subscribe,
    () => session.read().version,
    () => 0,
  );
  const [answer, keep] = useState<(RecordAnswer & { readonly of: string }) | null>(null);
  const of = `${version} ${id}`;
  useEffect(() => {
    if (version === 0) return;
    let current = true;
    const told = (found: RecordAnswer): void => {
      if (current) keep({ ...found, of: `${version} ${id}` });
    };
    void import('../../lib/report/ask')
      .then(({ buildRecord }) => buildRecord((sql, params) => session.ask(sql, params), asWritten(id)))
      .then(
        (record) => {
          told({ record, error: null });
        },
        (error: unknown) => {
          told({ record: null, error: error instanceof Error ? error.message : String(error) });
        },
      );
    return () => {
      current = false;
    };
  }, [version, id]);
  return answer?.of === of ? answer : null;
}
