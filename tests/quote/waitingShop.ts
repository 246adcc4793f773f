import { seededChance } from '../../lib/stats/shuffle';
import { after, CHOICES, normal, type Job } from './shop';

/** Simulated shops in which it is known what moves the days. */

/** What moves one more than the days, as a factor: of jobs that leak, of the branch Northgate, and of each step of ln(1 + engine hours/1000). */
export interface Planted {
  readonly leaks: number;
  readonly northgate: number;
  readonly worn: number;
}
export const UNMOVED: Planted = { leaks: 1, northgate: 1, worn: 1 };

/** How ln(1 + days) strays about what moves it: as far up as down, or as of days that end by chance alone (exponential), far more below. */
export type Stray = (chance: () => number) => number;
export const evenly: Stray = (chance) => 0.5 * normal(chance);
export const lopsided: Stray = (chance) => Math.log(-Math.log(1 - chance()));

/** A shop whose jobs take about six weeks; those that are not finished on the day of `CHOICES` are open. */
export function waitingShop(count: number, seed: number, planted: Planted, stray: Stray = evenly): Job[] {
  const chance = seededChance(seed);
  const pick = <T>(list: readonly T[], fallback: T): T => list[Math.floor(chance() * list.length)] ?? fallback;
  return Array.from({ length: count }, (_, k): Job => {
    const received = after('2019-01-01', Math.floor((k * 2190) / count));
    const model = pick(['Heron', 'Kestrel', 'Plover', 'Dunlin'], 'Heron');
    const work = chance() < 0.3 ? 'rebuild' : 'recalibrate';
    const complaint = pick(['leaks', 'knock', 'low power', 'smoke', null], null);
    const branch = pick(['Millrace', 'Northgate', 'Southwell'], 'Millrace');
    const engineHours = Math.round(500 + 13_500 * chance());
    const moved =
      (complaint === 'leaks' ? planted.leaks : 1) *
      (branch === 'Northgate' ? planted.northgate : 1) *
      planted.worn ** (Math.log1p(engineHours / 1000) - 2);
    const base = model === 'Heron' || model === 'Plover' ? 40 : 50;
    const days = Math.max(0, Math.round(base * moved * Math.exp(stray(chance)) - 1));
    const finished = after(received, days);
    return {
      ...{ model, work, received, complaint, branch, engineHours, hours: 6, elements: model === 'Dunlin' ? 4 : 6 },
      finished: finished < CHOICES.today ? finished : null,
    };
  });
}
