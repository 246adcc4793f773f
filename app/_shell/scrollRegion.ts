interface ScrollRegion {
  readonly role: 'region';
  readonly 'aria-label': string;
  readonly tabIndex: 0;
}

/** What a box that scrolls needs so that a keyboard can reach and scroll it, and a screen reader can name it. */
export const scrollRegion = (label: string): ScrollRegion => ({
  role: 'region',
  'aria-label': `Table: ${label}`,
  tabIndex: 0,
});
