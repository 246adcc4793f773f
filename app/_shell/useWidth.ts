'use client';

import { useEffect, useRef, useState, type RefObject } from 'react';

/** The width of an element in whole px, kept as it changes; 0 until it is known. */
export function useWidth<E extends HTMLElement>(): readonly [RefObject<E | null>, number] {
  const ref = useRef<E | null>(null);
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const watch = new ResizeObserver((entries) => {
      const entry = entries[0];
      if (entry !== undefined) setWidth(Math.floor(entry.contentRect.width));
    });
    watch.observe(element);
    return () => {
      watch.disconnect();
    };
  }, []);
  return [ref, width];
}
