'use client';

import { createElement, useSyncExternalStore, type ComponentType, type ReactElement } from 'react';

type Loaded<Props> = { readonly part: ComponentType<Props> } | { readonly failed: unknown } | null;

const notYet = (): null => null;

/**
 * A part of a page that comes in a file of its own when it is first shown, such as a plot with the library that draws it. React's own
 * way shows a stand-in first and then holds the part back for 300 ms, even where its file is there already; this one shows it at once.
 */
export function later<Props extends object>(load: () => Promise<ComponentType<Props>>): ComponentType<Props> {
  let loaded: Loaded<Props> = null;
  let loading = false;
  const waiting = new Set<() => void>();
  const come = (result: Loaded<Props>): void => {
    loaded = result;
    for (const tell of waiting) tell();
  };
  const subscribe = (tell: () => void): (() => void) => {
    waiting.add(tell);
    if (!loading) {
      loading = true;
      load().then(
        (part) => {
          come({ part });
        },
        (failed: unknown) => {
          loading = false;
          come({ failed });
        },
      );
    }
    return () => {
      waiting.delete(tell);
      // Whoever tries again asks for the file anew.
      if (waiting.size === 0 && loaded !== null && 'failed' in loaded) loaded = null;
    };
  };
  return function Later(props: Props): ReactElement | null {
    const now = useSyncExternalStore(subscribe, () => loaded, notYet);
    if (now === null) return null;
    if ('failed' in now) throw now.failed;
    return createElement(now.part, props);
  };
}
