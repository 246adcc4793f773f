import type { ReactElement, ReactNode } from 'react';
import { Note } from './Notes';

interface Props<Row> {
  readonly asked: { readonly rows: readonly Row[] | null; readonly error: string | null };
  /** What to say where the answer has no rows. */
  readonly none: ReactNode;
  readonly children: (rows: readonly Row[]) => ReactNode;
}

/** An answer of the log, or the plain word why there is none: not known yet, failed, or empty. */
export function Answer<Row>({ asked, none, children }: Props<Row>): ReactElement {
  if (asked.error !== null) return <Note warm>This could not be worked out. {asked.error}</Note>;
  if (asked.rows === null) {
    return (
      <p className="quiet" aria-busy="true">
        Reading the log …
      </p>
    );
  }
  if (asked.rows.length === 0) return <Note>{none}</Note>;
  return <>{children(asked.rows)}</>;
}
