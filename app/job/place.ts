/** Where a reading stands in the files: `closures.csv, row 12`. */
export const place = (file: string | null, row: number | null): string =>
  file === null || row === null ? '–' : `${file}, row ${row}`;

export const runName = (run: number): string =>
  run === 0 ? 'Run 0, as received' : run === 1 ? 'Run 1, first measurement' : `Run ${run}, after correction`;

/** What is allowed either way, as a band; without ends where it is not known. */
export const eitherWay = (tolerance: number | null): readonly [number | null, number | null] =>
  tolerance === null ? [null, null] : [-tolerance, tolerance];
