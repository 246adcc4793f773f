/** Where a reading stands in the files: `closures.csv, row 12`. */
export const place = (file: string | null, row: number | null): string =>
  file === null || row === null ? '–' : `${file}, row ${row}`;
