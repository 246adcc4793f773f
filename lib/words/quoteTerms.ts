import type { Unit } from '../units/units';
import type { Label, Origin } from './label';

const term = (text: string, origin: Origin, meaning: string, unit: Unit | null = null): Label => ({
  text,
  meaning,
  origin,
  unit,
});

/** Words of the quote page. */
export const quoteTerms = {
  figure: term('figure', 'ours', 'What is quoted: hours of labour, parts, days in the shop, cost to the shop.'),
  middle: term('middle', 'ours', 'Half of such jobs are expected below it, half above (median).'),
  half: term('5 of 10', 'ours', 'Range that half of such jobs are expected to end in.'),
  most: term('8 of 10', 'ours', 'Range that eight of ten such jobs are expected to end in.'),
  nearlyAll: term('19 of 20', 'ours', 'Range that nineteen of twenty such jobs are expected to end in.'),
  restsOn: term('rests on', 'ours', 'The past jobs that the figure is told from.'),
  counting: term(
    'counting as',
    'ours',
    'As many jobs finished today would weigh as much: older jobs weigh less.',
    'count',
  ),
  movedBy: term('what moved it', 'ours', 'A group of past jobs that the figure rests on, or a thing that was asked.'),
  moved: term(
    'by how much',
    'ours',
    'Of a group: its own middle, of days without what the things asked added, and the part that it has in the figure. Of a thing asked: how much the figure is moved by it.',
  ),
  whose: term('whose jobs', 'ours', 'The past jobs that tell it.'),
  extraWork: term('extra work', 'ours', 'Work beyond the usual that some such jobs turned out to need.'),
  chance: term('chance', 'ours', 'Share of past jobs that needed it, with its interval at 95 %.'),
  added: term(
    'what it added',
    'ours',
    "Median of what past jobs with it took more than those of their model and work without it, at today's rate and in today's money, with its interval at 95 %.",
  ),
  addedFrom: term('added, from', 'ours', 'Past jobs with it, and those without it that they are held against.'),
  whyNear: term(
    'why near',
    'ours',
    'What the past job has in common with the one on the counter, and what it does not.',
  ),
  found: term('found', 'ours', 'Extra work that the past job turned out to need.'),
  took: term('similar job', 'ours', 'A past job near to the one on the counter, and what it took.'),
  tookHours: term('labour', 'trade', 'Hours of labour on the job card.', 'hours'),
  tookParts: term('parts then', 'ours', "Cost of parts as on the job card, in the card's currency."),
  tookDays: term('days', 'ours', 'Days from received to finished.', 'count'),
  costToday: term('cost today', 'ours', "Its hours at today's rate and its parts in today's money."),
  quoteLine: term('what', 'ours', 'A line of the quote.'),
  quantity: term('how much', 'ours', 'Hours, or pieces.'),
  each: term('each', 'ours', 'Cost to the shop of one hour or piece.'),
  lineSum: term('sum', 'ours', 'How much times each, rounded to the smallest coin.'),
  ownError: term('quote off by', 'ours', 'Half of the quotes of past jobs were off by less (median error).'),
  plainWay: term('plain way', 'ours', 'A simple way to quote, without this page.'),
  plainError: term('plain way off by', 'ours', 'Median error of the plain way over the same jobs.'),
  nearer: term(
    'nearer',
    'ours',
    'Whether the quote was off by less than the plain way, by the mean difference over the same jobs and its interval at 95 %.',
  ),
  held: term(
    'held',
    'ours',
    'Share of past jobs that ended in the range told for them on the day they came in, with its interval at 95 %.',
  ),
  year: term('year', 'ours', 'Year in which the past jobs came in.'),
  quotedOn: term('quoted on', 'ours', 'Day of the kept quote.'),
  quotedPrice: term('price', 'ours', 'Before tax; of a range its upper end.'),
  became: term('became', 'ours', 'The job of this pump that the log has since.'),
  endedWithin: term(
    'within the range',
    'ours',
    'Whether the job took what 8 of 10 were said to take, the ends included.',
  ),
} as const satisfies Record<string, Label>;
