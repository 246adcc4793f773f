import { term, type Label } from './label';

/** Words of the section on the room left in the tolerance. */
export const roomTerms = {
  roomFigure: term(
    'judged',
    'ours',
    'What is held against its band, one figure a job, of its last run after assembly.',
  ),
  roomLift: term('Lift to port closure', 'trade', 'That of the reference element, in its band.'),
  roomPhasing: term(
    'Largest phase error',
    'ours',
    'The phase error of the element that is furthest off, by its size, as a part of the tolerance.',
  ),
  roomDelivery: term('Mean delivery', 'trade', 'Mean of the elements at the base point, in its band.'),
  roomSpread: term('Spread', 'ours', 'Spread over the elements at the base point, as a part of what is allowed.'),
  roomMean: term(
    'mean place',
    'ours',
    'Where the figure lies on average: −1 is the lower limit, 1 the upper one; of a figure with an upper limit alone, 0 is nothing.',
  ),
  roomScatter: term(
    'scatter',
    'standard',
    'Standard deviation from job to job, in halves of the band; of a figure with an upper limit alone, in parts of that limit.',
  ),
  cp: term(
    'Cp',
    'standard',
    'Width of the band over six standard deviations, with its interval at 95 %; 1 where the scatter just fits. None with one limit alone.',
  ),
  cpk: term(
    'Cpk',
    'standard',
    'From the mean to the nearer limit over three standard deviations, with its interval at 95 %; below 1 the scatter reaches past that limit.',
  ),
  roomReckoned: term(
    'by the scatter',
    'standard',
    'Where 95 of 100 such pumps lie, at 95 % confidence, if the figure is spread normally (tolerance interval).',
  ),
  roomCounted: term(
    'as counted',
    'standard',
    'The same between two of the figures seen, whatever their spread; with fewer than 93 jobs (59 with one limit) from end to end, and how many of 100 lie there at least.',
  ),
  leftOutside: term(
    'left outside',
    'ours',
    'Jobs with the figure out in their last run so far, with the interval of their share; a job still open counts too.',
  ),
} as const satisfies Record<string, Label>;
