import { term, type Label } from './label';

/** Words of the charts over time. */
export const trendTerms = {
  trendPeriod: term('received in', 'ours', 'Month or quarter of the day received.'),
  batchFirst: term('first job', 'ours', 'Day received of the first job with a stack of the batch.'),
  batchLast: term('last job', 'ours', 'Day received of the last job with a stack of the batch.'),
  shimsMoved: term(
    'Shim change a job',
    'ours',
    'All that was added to and taken from the stacks in a job, without its sign, over all elements and runs; turns of tappet screws alike.',
    'shim',
  ),
  phaseSpread: term(
    'Phase error spread',
    'ours',
    'The latest element less the earliest as received, in one job.',
    'cam_deg',
  ),
  elementShimsMoved: term(
    'Shim change of an element',
    'ours',
    'All that was added to and taken from the stack of one element in a job, without its sign, over all runs.',
    'shim',
  ),
  elementPhaseError: term(
    'Phase error of an element',
    'ours',
    'How late one element closes as received, against the reference; minus is early.',
    'cam_deg',
  ),
  centreLine: term(
    'centre line',
    'standard',
    'The level of the whole series: the rate of all its jobs, or the mean of its points.',
  ),
  controlLimits: term(
    'limits of the chart',
    'standard',
    'Three standard deviations either way of the centre line (ISO 7870-2); a point beyond them is seldom chance.',
  ),
  standing: term(
    'stands out',
    'ours',
    'Beyond a limit, in a run of seven or more on one side of the centre line, or seven that rise or fall all the way (ISO 7870-2).',
  ),
  event: term(
    'what happened',
    'ours',
    'First job on a bench, with shims of a batch, or worked to a later revision; or a note.',
  ),
  eventName: term('which', 'ours', 'The bench, the batch, the revision; or what the note says.'),
  eventDay: term('day', 'ours', 'Day received of the first job, or the day of the note.'),
  funnelLimits: term(
    'by chance',
    'standard',
    "Where 95 of 100 would lie by chance alone, given the number of jobs and the shop's rate on the same models (funnel limits).",
    'percent',
  ),
  expectedRate: term(
    'shop on the same models',
    'ours',
    'Each job counted with the rate of the whole shop on its model.',
    'percent',
  ),
  techniciansLeftOut: term(
    'Leave technicians out',
    'ours',
    'No page names a technician, and nothing can be told apart by technician. Some countries and shops require it. Kept in this browser.',
  ),
} as const satisfies Record<string, Label>;
