/** What a browser reads by a mapping; the command takes as much as fits into one text. */
export const MOST_MAPPED = {
  /** A mapped sheet is held as cells while it is converted, which takes some ten times its size in memory. */
  bytes: 100_000_000,
  reason:
    'A sheet that a mapping reads may be 100 MB at most here. Save its mapping, and read it with npm run recalc -- --mapping FILE, or part it into several files.',
} as const;

/** A larger sheet is not gone through ahead: what would be set aside is counted among its first rows only. */
export const MOST_TRIED_BYTES = 20_000_000;
