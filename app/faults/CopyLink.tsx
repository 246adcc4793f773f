'use client';

import { useState, type ReactElement } from 'react';

/** Puts the address of a finding on the clipboard; where the browser does not let it, shows it to be copied by hand. */
export function CopyLink({ path }: { path: string }): ReactElement {
  const [copied, setCopied] = useState<'no' | 'yes' | 'by hand'>('no');
  const link = (): string => new URL(path, window.location.href).href;
  const copy = (): void => {
    // Pages that are not served over a safe connection have no clipboard at all.
    const clipboard = navigator.clipboard as Clipboard | undefined;
    void (clipboard?.writeText(link()) ?? Promise.reject(new Error('no clipboard'))).then(
      () => {
        setCopied('yes');
      },
      () => {
        setCopied('by hand');
      },
    );
  };
  return (
    <>
      <button type="button" className="no-print" onClick={copy}>
        Copy link
      </button>
      <span role="status" className="quiet small">
        {copied === 'yes' ? 'Link copied' : null}
      </span>
      {copied === 'by hand' ? (
        <input
          type="text"
          readOnly
          aria-label="Link to this finding"
          value={link()}
          onFocus={(event) => {
            event.currentTarget.select();
          }}
        />
      ) : null}
    </>
  );
}
