'use client';

import type { ReactElement } from 'react';
import { counted } from '../../lib/words/figures';
import { sentences, useKeeping } from '../_log/useKeeping';
import { useLog } from '../_log/useLog';
import { Note } from '../_shell/Notes';
import { DeleteAll } from './DeleteAll';
import { PlainTable } from './mapping/PlainTable';
import { Restore } from './Restore';
import { bytesAsText, StorageMeter } from './StorageMeter';
import { TakeOut } from './TakeOut';

const HASH_SHOWN = 12;

/** The files that open by themselves at the next visit, and the ways to take them out, bring them back and delete them. */
export function Kept(): ReactElement {
  const { stored, loads, pen, behind, damaged } = useKeeping();
  const { state, closeDemo, unopened, openAgain } = useLog();
  const files = loads.flatMap((load) => load.files.map((file) => ({ ...file, at: load.at })));
  const demo = loads.some((load) => load.demo);
  const idle = state.phase === 'open' || state.phase === 'empty' || state.phase === 'failed';
  const mayChange = idle && pen && !behind;
  return (
    <section className="section" aria-labelledby="kept">
      <h2 id="kept">Kept in this browser</h2>
      {stored === false ? <Note warm>{sentences.barred}</Note> : null}
      {stored === true && loads.length === 0 && !damaged ? (
        <p>Nothing is kept yet. Files that you load stay in this browser and open by themselves at the next visit.</p>
      ) : null}
      {damaged ? <Note warm>{sentences.damagedList}</Note> : null}
      {unopened && idle ? (
        <div>
          <button type="button" className="primary" onClick={openAgain}>
            Open the kept log
          </button>
        </div>
      ) : null}
      {demo ? (
        <div className="row">
          <p>
            {files.length === 0
              ? 'The demo log is open, and is part of what is kept. Before files of your own are added to it, you are asked.'
              : 'The demo log is open together with files of your own, and both count in every figure. Closing it leaves what is kept of your own.'}
          </p>
          <button type="button" disabled={!mayChange} onClick={closeDemo}>
            Close the demo log
          </button>
        </div>
      ) : null}
      {files.length === 0 ? null : (
        <>
          <p>
            {counted(files.length, 'file')}, {bytesAsText(files.reduce((sum, file) => sum + file.size, 0))}, as they
            came, byte for byte. They open by themselves at the next visit.
          </p>
          <PlainTable
            caption="Files kept in this browser"
            header={['File', 'Size', 'Loaded', 'Read by', 'SHA-256']}
            rows={files.map((file) => [
              file.name,
              bytesAsText(file.size),
              file.at.slice(0, -3),
              file.mappings.length === 0 ? 'its own columns' : 'a mapping',
              <code key="hash" title={file.hash}>
                {file.hash.slice(0, HASH_SHOWN)}
              </code>,
            ])}
          />
        </>
      )}
      {stored === true ? (
        <>
          <StorageMeter key={files.length} />
          <div className="row">
            <TakeOut disabled={!idle || loads.length === 0} />
            <Restore disabled={!mayChange} />
            <DeleteAll disabled={!mayChange || (loads.length === 0 && !damaged)} />
          </div>
        </>
      ) : null}
    </section>
  );
}
