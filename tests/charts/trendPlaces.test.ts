import { describe, expect, it } from 'vitest';
import { jobsOf } from '../../app/trends/place';
import { UNFILTERED, type Filters } from '../../lib/store/filters';
import type { TrendSplit } from '../../lib/store/questions/trendPeriods';

const led = (split: TrendSplit, part: string, first = '2024-01-01', filters: Filters = UNFILTERED): string =>
  decodeURIComponent(jobsOf(filters, split, part, 'quarter', first)).replaceAll('+', ' ');

describe('where a point of a trend leads to', () => {
  it('is the jobs of its quarter, and of its part by the name that the list of jobs knows it by', () => {
    const days = 'from=2024-01-01&to=2024-03-31';
    expect(led('none', '')).toBe(`/jobs/?${days}`);
    expect(led('model', 'Heron')).toBe(`/jobs/?${days}&model=Heron`);
    expect(led('bench', 'B2')).toBe(`/jobs/?${days}&bench=B2`);
    expect(led('work', 'rebuild')).toBe(`/jobs/?${days}&work=rebuild`);
    expect(led('branch', 'Mill')).toBe(`/jobs/?${days}&branch=Mill`);
    expect(led('complaint', 'low power')).toBe(`/jobs/?${days}&complaint=low power`);
    expect(led('technician', 'T1')).toBe(`/jobs/?${days}&technician=T1`);
    expect(led('batch', 'S2')).toBe(`/jobs/?${days}&batch=S2`);
    expect(led('gauge', 'W-1')).toBe(`/jobs/?${days}&gauge=W-1`);
  });

  it('is the jobs of the model for one of its elements, whatever its name holds', () => {
    expect(led('element', 'Heron, element 2, element 11')).toContain('model=Heron, element 2');
    expect(led('element', 'Heron, element 2, element 11')).not.toContain('11');
  });

  it('is only the months of the season, the day in a leap year with them', () => {
    expect(led('season', 'winter')).toBe('/jobs/?from=2024-01-01&to=2024-02-29');
    expect(led('season', 'spring')).toBe('/jobs/?from=2024-03-01&to=2024-03-31');
    expect(led('season', 'spring', '2024-04-01')).toBe('/jobs/?from=2024-04-01&to=2024-05-31');
    expect(led('season', 'winter', '2024-10-01')).toBe('/jobs/?from=2024-12-01&to=2024-12-31');
  });

  it("stays within the page's own days", () => {
    const filters = { ...UNFILTERED, from: '2024-01-15', to: '2024-02-10' };
    expect(led('season', 'winter', '2024-01-01', filters)).toBe('/jobs/?from=2024-01-15&to=2024-02-10');
    expect(led('bench', 'B2', '2024-01-01', filters)).toBe('/jobs/?from=2024-01-15&to=2024-02-10&bench=B2');
  });
});
