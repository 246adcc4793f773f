'use client';

import { useEffect, useId, useState, type ReactElement } from 'react';
import { useKeeping } from '../_log/useKeeping';
import { useLog } from '../_log/useLog';

/** A button that opens the file chooser: any number of CSV and Parquet files and workbooks. */
export function ChooseFiles({ primary }: { primary?: boolean }): ReactElement {
  const { load } = useLog();
  const { pen, behind } = useKeeping();
  const id = useId();
  if (!pen) {
    return (
      <button type="button" disabled>
        Open for writing in another tab
      </button>
    );
  }
  return (
    <>
      <label htmlFor={id} className={primary === true ? 'button primary' : 'button'} aria-disabled={behind}>
        Choose files
      </label>
      <input
        id={id}
        type="file"
        multiple
        accept=".csv,.txt,.tsv,.parquet,.xlsx,.xlsm"
        className="unseen"
        disabled={behind}
        onChange={(event) => {
          const chosen = [...(event.currentTarget.files ?? [])];
          event.currentTarget.value = '';
          if (chosen.length > 0) load(chosen);
        }}
      />
    </>
  );
}

const hasFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;

/** Lets files be dropped anywhere on the page. */
export function DropAnywhere(): ReactElement | null {
  const { load } = useLog();
  const [over, setOver] = useState(false);
  useEffect(() => {
    const drag = (event: DragEvent): void => {
      if (!hasFiles(event)) return;
      event.preventDefault();
      setOver(true);
    };
    const leave = (event: DragEvent): void => {
      if (event.relatedTarget === null) setOver(false);
    };
    const drop = (event: DragEvent): void => {
      if (!hasFiles(event)) return;
      event.preventDefault();
      setOver(false);
      const dropped = [...(event.dataTransfer?.files ?? [])];
      if (dropped.length > 0) load(dropped);
    };
    window.addEventListener('dragover', drag);
    window.addEventListener('dragleave', leave);
    window.addEventListener('drop', drop);
    return () => {
      window.removeEventListener('dragover', drag);
      window.removeEventListener('dragleave', leave);
      window.removeEventListener('drop', drop);
    };
  }, [load]);
  useEffect(() => {
    document.body.classList.toggle('dropping', over);
  }, [over]);
  return null;
}
