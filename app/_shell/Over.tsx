'use client';

import { useId, useLayoutEffect, useRef, type ReactElement, type ReactNode } from 'react';

interface Props {
  readonly title: string;
  readonly says: ReactNode;
  /** Whether a list has to be read before any answer: it has room then, and the focus begins above it, not at the first answer. */
  readonly list?: boolean;
  /** Escape: the answer that leaves all as it is. */
  readonly onLeave: () => void;
  readonly children: ReactNode;
}

/** A question that stands over the page, which goes on showing the log as it is. */
export function Over({ title, says, list = false, onLeave, children }: Props): ReactElement {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  // Closed before it leaves the page, so that the focus goes back to where it was.
  useLayoutEffect(() => {
    const shown = dialog.current;
    shown?.showModal();
    shown?.querySelector<HTMLElement>(list ? 'h2' : 'button')?.focus();
    return () => {
      shown?.close();
    };
  }, [list]);
  return (
    <dialog
      ref={dialog}
      className={list ? 'over over-list' : 'over'}
      aria-labelledby={id}
      aria-describedby={`${id}-says`}
      onCancel={onLeave}
      onClose={onLeave}
    >
      <div className="stack">
        <h2 id={id} tabIndex={-1}>
          {title}
        </h2>
        <p id={`${id}-says`}>{says}</p>
        {children}
      </div>
    </dialog>
  );
}
