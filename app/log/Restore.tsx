'use client';

import { useId, useState, type ReactElement } from 'react';
import { counted } from '../../lib/words/figures';
import { checkArchive, filesIn, putInPlace, type OpenedArchive } from '../_log/archives';
import { useKeeping } from '../_log/useKeeping';
import { Note } from '../_shell/Notes';

type Step =
  | { readonly at: 'rest' }
  | { readonly at: 'busy' }
  | { readonly at: 'said'; readonly text: string }
  | { readonly at: 'asks'; readonly archive: OpenedArchive };

/** Brings an archive back. It is checked to the last byte first; what is kept goes only after a person said so. */
export function Restore({ disabled }: { disabled: boolean }): ReactElement {
  const { loads } = useKeeping();
  const [step, go] = useState<Step>({ at: 'rest' });
  const id = useId();
  const place = async (archive: OpenedArchive): Promise<void> => {
    go({ at: 'busy' });
    const refused = await putInPlace(archive);
    go(refused === null ? { at: 'rest' } : { at: 'said', text: refused });
  };
  const take = async (file: File): Promise<void> => {
    go({ at: 'busy' });
    const checked = await checkArchive(file);
    if (!checked.ok) go({ at: 'said', text: `${file.name}: ${checked.reason} What is kept here stays as it is.` });
    else if (loads.length > 0) go({ at: 'asks', archive: checked.archive });
    else await place(checked.archive);
  };
  const shut = disabled || step.at === 'busy';
  return (
    <>
      <label htmlFor={id} className="button" aria-disabled={shut}>
        {step.at === 'busy' ? 'Checking the archive …' : 'Restore from an archive'}
      </label>
      <input
        id={id}
        type="file"
        accept=".zip"
        className="unseen"
        disabled={shut}
        onChange={(event) => {
          const [file] = event.currentTarget.files ?? [];
          event.currentTarget.value = '';
          if (file === undefined) return;
          take(file).catch(() => {
            go({ at: 'said', text: `${file.name} can't be read. What is kept here stays as it is.` });
          });
        }}
      />
      {step.at === 'said' ? <Note warm>{step.text}</Note> : null}
      {step.at === 'asks' ? (
        <div className="note stack">
          <p>
            The archive is whole: {counted(filesIn(step.archive.loads), 'file')}. It takes the place of what is kept
            here: {counted(filesIn(loads), 'file')}.
          </p>
          <div className="row">
            <button type="button" className="primary" onClick={() => void place(step.archive)}>
              Put the archive in its place
            </button>
            <button
              type="button"
              onClick={() => {
                go({ at: 'rest' });
              }}
            >
              Leave it as it is
            </button>
          </div>
        </div>
      ) : null}
    </>
  );
}
