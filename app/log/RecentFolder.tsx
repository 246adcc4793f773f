'use client';

import { useEffect, useState, type ReactElement } from 'react';
import { counted } from '../../lib/words/figures';
import { canPickFolder, forgetFolder, pickFolder, readFolder, recentFolder, type RecentFolder } from '../_log/folder';
import { useKeeping } from '../_log/useKeeping';
import { useLog } from '../_log/useLog';
import { Note } from '../_shell/Notes';

/** A folder that is read again with one click; not shown where the browser can't keep one. */
export function RecentFolderSection(): ReactElement | null {
  const { load, state } = useLog();
  const { pen, behind } = useKeeping();
  const [there, setThere] = useState(false);
  const [folder, setFolder] = useState<RecentFolder | null>(null);
  const [said, say] = useState<string | null>(null);
  useEffect(() => {
    let left = false;
    if (!canPickFolder()) return;
    recentFolder().then(
      (found) => {
        if (left) return;
        setThere(true);
        setFolder(found);
      },
      // No place to keep a handle in: the section stays away.
      () => undefined,
    );
    return () => {
      left = true;
    };
  }, []);
  if (!there) return null;
  const shut = !pen || behind || !(state.phase === 'open' || state.phase === 'empty');
  const read = async (from: RecentFolder): Promise<void> => {
    say(null);
    const found = await readFolder(from, new Date());
    if (found === null) {
      say('The browser was not allowed to read the folder.');
      return;
    }
    setFolder(found.folder);
    say(
      found.fresh.length === 0
        ? `Nothing is new: ${counted(found.known, 'file')} of the folder are in the log.`
        : `${counted(found.fresh.length, 'file')} new or changed, ${counted(found.known, 'file')} in the log already.`,
    );
    if (found.fresh.length > 0) load(found.fresh);
  };
  const failed = (): void => {
    say('The folder can not be read any more. Choose it again.');
  };
  const choose = async (): Promise<void> => {
    const chosen = await pickFolder();
    if (chosen === null) return;
    setFolder(chosen);
    await read(chosen);
  };
  return (
    <section className="section" aria-labelledby="folder">
      <h2 id="folder">Recent folder</h2>
      {folder === null ? (
        <p>
          Choose the folder that the bench writes to once. From then on one click loads what is new or changed in it.
        </p>
      ) : (
        <p>
          {folder.handle.name}
          {folder.readAt === null ? '' : `, last read ${folder.readAt.slice(0, -3)}`}
        </p>
      )}
      <div className="row">
        {folder === null ? null : (
          <button type="button" className="primary" disabled={shut} onClick={() => void read(folder).catch(failed)}>
            Load what is new
          </button>
        )}
        <button type="button" disabled={shut} onClick={() => void choose().catch(failed)}>
          {folder === null ? 'Choose a folder' : 'Choose another folder'}
        </button>
        {folder === null ? null : (
          <button
            type="button"
            onClick={() => {
              forgetFolder().then(() => {
                setFolder(null);
                say(null);
              }, failed);
            }}
          >
            Forget it
          </button>
        )}
      </div>
      {said === null ? null : <Note>{said}</Note>}
    </section>
  );
}
