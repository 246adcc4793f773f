'use client';

import { useCallback, useState, type RefCallback } from 'react';

/** The width of an element in whole px, kept as it changes; 0 until it is there. Known before the element is first drawn. */
export function useWidth<E extends HTMLElement>(): readonly [RefCallback<E>, number] {
  const [width, setWidth] = useState(0);
  const measure = useCallback((element: E) => {
    setWidth(Math.floor(element.getBoundingClientRect().width));
    const watch = new ResizeObserver((entries) => {
      const entry = entries[0];
      if (entry !== undefined) setWidth(Math.floor(entry.contentRect.width));
    });
    watch.observe(element);
    return () => {
      watch.disconnect();
    };
  }, []);
  return [measure, width];
}
