'use client';

import { useEffect, useState, type ReactElement } from 'react';
import { count } from '../../lib/words/figures';

interface Room {
  readonly used: number;
  readonly given: number;
  /** Whether the browser promised not to clear it when the disk runs short. */
  readonly lasting: boolean;
}

const steps = [
  [1e9, 'GB'],
  [1e6, 'MB'],
  [1e3, 'kB'],
] as const;

/** A size in words, in thousands of bytes. */
export function bytesAsText(bytes: number): string {
  const [size, unit] = steps.find(([least]) => bytes >= least) ?? [1, 'bytes'];
  const n = bytes / size;
  return `${n < 10 && size > 1 ? n.toFixed(1) : count(n)}\u00a0${unit}`;
}

async function measure(): Promise<Room> {
  const [{ usage = 0, quota = 0 }, lasting] = await Promise.all([
    navigator.storage.estimate(),
    navigator.storage.persisted(),
  ]);
  return { used: usage, given: quota, lasting };
}

/** How much of the storage that the browser gives is used, and whether it may be cleared. */
export function StorageMeter(): ReactElement | null {
  const [room, setRoom] = useState<Room | null>(null);
  const [refused, setRefused] = useState(false);
  useEffect(() => {
    let left = false;
    measure().then(
      (measured) => {
        if (!left) setRoom(measured);
      },
      () => undefined,
    );
    return () => {
      left = true;
    };
  }, []);
  if (room === null) return null;
  const words = `${bytesAsText(room.used)} of the ${bytesAsText(room.given)} that this browser gives are used.`;
  const ask = async (): Promise<void> => {
    setRefused(!(await navigator.storage.persist()));
    setRoom(await measure());
  };
  return (
    <div className="stack">
      <div className="row">
        <meter aria-label="Storage used" max={room.given} value={room.used} high={0.8 * room.given} />
        <span>{words}</span>
      </div>
      {room.lasting ? (
        <p>The browser has promised not to clear it when the disk runs short.</p>
      ) : (
        <div className="row">
          <p>
            {refused
              ? 'The browser did not promise it. Take everything out now and then, and keep the archive elsewhere.'
              : 'The browser may clear it when the disk runs short.'}
          </p>
          <button
            type="button"
            onClick={() => {
              ask().catch(() => {
                setRefused(true);
              });
            }}
          >
            Ask the browser to keep it
          </button>
        </div>
      )}
    </div>
  );
}
