/**
 * The colours of plots by what they stand for. The values are defined once, in app/_style/roles.css, for the light and the
 * dark scheme; a plot names the role only.
 */
export const role = {
  ink: 'var(--ink)',
  iron: 'var(--iron)',
  rule: 'var(--rule)',
  sheet: 'var(--sheet)',
  /** The thing looked at. */
  blue: 'var(--blue)',
  blueWash: 'var(--blue-wash)',
  /** The rest. */
  grey: 'var(--grey)',
  greyWash: 'var(--grey-wash)',
  /** What needs a hand. */
  warm: 'var(--warm)',
} as const;
