'use client';

import Link from 'next/link';
import type { ReactElement } from 'react';
import { useLog } from '../_log/useLog';
import { ChooseFiles } from './LogDrop';
import { Note } from './Notes';
import { visible } from '../../lib/words/visible';

/** What a person sees before a log is open. */
export function Start(): ReactElement {
  const { openDemo, openAgain, report, unopened } = useLog();
  const refused = report?.files.filter((file) => file.refused !== null) ?? [];
  return (
    <div className="start">
      <h1>Years of job cards, read as one log</h1>
      <p className="lead">
        Shimbook reads the log of a calibration shop that works on in-line injection pumps. It recalculates timing,
        phasing and deliveries from the raw readings, and shows how often pumps pass first time, where shims keep
        changing, and which elements wear. Your files stay in this browser.
      </p>
      {refused.map((file) => (
        <Note key={file.file} warm>
          <b>{visible(file.file)}</b>: {visible(file.refused ?? '')}
        </Note>
      ))}
      {unopened ? (
        <div className="note row">
          <span>A log is kept in this browser and is not open.</span>
          <button type="button" className="primary" onClick={openAgain}>
            Open the kept log
          </button>
        </div>
      ) : null}
      <div className="start-actions">
        <div className="start-action">
          <div>
            <h2>See it with a demo log</h2>
            <p className="quiet">An invented shop, six pump models, eight years.</p>
          </div>
          <button type="button" className="primary" onClick={openDemo}>
            Open the demo log
          </button>
        </div>
        <div className="start-action">
          <div>
            <h2>Open your own log</h2>
            <p className="quiet">
              CSV, Parquet or workbooks (.xlsx), any number at once. Drop them anywhere on this page. They are kept in
              this browser and open by themselves at the next visit.
            </p>
          </div>
          <ChooseFiles />
        </div>
      </div>
      <p>
        No log yet? <Link href="/log/#templates">Take the empty tables</Link>, one for each kind of row, and fill them
        in.
      </p>
    </div>
  );
}
