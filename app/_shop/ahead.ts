'use client';

import { useEffect } from 'react';

/** Fetches the plots' code while a person still looks for their files: it is left out of the first load of the page. */
export function usePlotsAhead(): void {
  useEffect(() => {
    void import('./FirstPassFrame');
    void import('./LatelyFrame');
  }, []);
}
