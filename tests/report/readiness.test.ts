import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, it, test } from 'vitest';
import { codes } from '../../lib/calc/layout';
import { findingFacts } from '../../lib/calc/proof/findings';
import { besideFindings, readinessOf, supplyOf, type Readiness } from '../../lib/report/many/readiness';
import { reasonCodes, reasonFacts, type ReasonCode } from '../../lib/report/many/reasons';
import type { QueuedJob } from '../../lib/store/questions/auditQueue';
import { clean, found, gauged, job, staged } from './jobs';

const own: readonly (readonly [ReasonCode, Partial<QueuedJob>, string])[] = [
  [
    'left out of limits',
    { stages: [staged('test point', 'Full load', 'out'), staged('test point', 'Base', 'out')] },
    'By its last readings the pump left outside its limits (test points Full load and Base).',
  ],
  [
    'not measured as left',
    { stages: [staged('governor', null, 'not measured')] },
    'A stage that the specification asks for was not measured to its end (governor).',
  ],
  [
    'cannot be decided',
    { stages: [staged('timing and phasing', null, 'in', 'cannot tell')] },
    "Readings lie so near to a limit that the gauge's uncertainty leaves it undecided (timing and phasing).",
  ],
  [
    'gauge not listed',
    { gauges: [gauged('G-8', 'not listed'), gauged('G-9', 'not listed')] },
    'Readings name a gauge of which the log has no calibration at all (G-8 and G-9).',
  ],
  ['gauge not named', { unnamed: 12 }, 'Readings do not say which gauge they were taken with (12 of 40 readings).'],
  [
    'phasing tolerance assumed',
    { tolerance_assumed: 'yes' },
    'The specification as it stands in the log gives no phasing tolerance, so 0.5 degrees were assumed.',
  ],
  [
    'uncertainty not stated',
    { gauges: [gauged('G-1', 'no uncertainty')] },
    'A gauge states no uncertainty, so its readings were compared with the limits as they stand (G-1).',
  ],
  ['day finished not written', { finished_on: null }, 'The job card does not say when the work was finished.'],
];

const only = ({ reasons }: Readiness) => {
  expect(reasons).toHaveLength(1);
  return reasons[0];
};

describe('readiness', () => {
  it('is ready where nothing is to be said', () => {
    expect(readinessOf(clean)).toEqual({ state: 'ready', reasons: [] });
    expect(supplyOf(readinessOf(clean))).toBeNull();
  });

  test.each(own)('%s', (code, change, says) => {
    const readiness = readinessOf(job(change));
    expect(only(readiness)).toEqual({ ...reasonFacts(code), code, says });
  });

  test.each(codes.finding)('%s', (finding) => {
    const readiness = readinessOf(job({ findings: [found(finding)] }));
    expect(only(readiness)).toMatchObject({ code: finding, severity: findingFacts[finding].severity });
    expect(readiness.state).toBe(
      {
        'breaks the proof': 'not ready',
        'weakens the proof': 'ready with remarks',
        'for information': 'ready',
      }[findingFacts[finding].severity],
    );
  });

  it('tells what stands against a job beside its findings, and not what is for information', () => {
    const left = job({
      stages: [staged('test point', 'Base', 'out')],
      findings: [found('split pair differs')],
      finished_on: null,
    });
    expect(besideFindings(readinessOf(left)).map(({ code }) => code)).toEqual(['left out of limits']);
    expect(besideFindings(readinessOf(clean))).toEqual([]);
  });

  it('has no reason that the cases above leave out', () => {
    const seen = new Set<ReasonCode>([...own.map(([code]) => code), ...codes.finding]);
    expect(reasonCodes.filter((code) => !seen.has(code))).toEqual([]);
    expect(new Set(reasonCodes).size).toBe(reasonCodes.length);
  });

  it('names test points and elements, few of them', () => {
    const rack = 'draw before the rack was set';
    expect(only(readinessOf(job({ findings: [found(rack, 'Base', [2, 4]), found(rack, 'Light', [1])] })))?.says).toBe(
      'Draws were taken with the rack outside its window; they do not count (test point Base: elements 2 and 4; test point Light: element 1).',
    );
    const many = ['a', 'b', 'c', 'd', 'e', 'f'].map((name) => found(rack, name));
    expect(only(readinessOf(job({ findings: many })))?.says).toContain('test point d; 2 more).');
  });

  it('names the gauge and its date, and the revision that was in force', () => {
    const gauge = readinessOf(
      job({ findings: [found('gauge past its date')], gauges: [gauged('DG-3', 'past its date')] }),
    );
    expect(only(gauge)?.says).toMatch(/\(DG-3, due 1\sJun\s2023; pump in on 4\sMar\s2024\)\.$/);
    const revision = readinessOf(
      job({ findings: [found('superseded revision')], revision_in_force: 'C', superseded_on: '2024-02-01' }),
    );
    expect(only(revision)?.says).toMatch(/\(worked to B; C was in force, and B not since 1\sFeb\s2024\)\.$/);
  });

  test.each([
    [staged('timing and phasing', null, 'not measured'), found('lift not read', null, [1])],
    [staged('timing and phasing', null, 'not measured'), found('element missing')],
    [staged('test point', 'Base', 'not measured'), found('element missing', 'Base')],
    [staged('test point', 'Base', 'not measured'), found('test point missing', 'Base')],
    [staged('governor', null, 'not measured'), found('governor missing')],
  ])('tells once what is missing: %o', (stage, finding) => {
    expect(only(readinessOf(job({ stages: [stage], findings: [finding] })))?.code).toBe(finding.finding);
  });

  it('tells of a stage whose finding speaks of another one', () => {
    const stages = [staged('test point', 'Base', 'not measured'), staged('timing and phasing', null, 'not measured')];
    const { reasons } = readinessOf(job({ stages, findings: [found('element missing', 'Light')] }));
    expect(reasons.map(({ code }) => code)).toEqual(['not measured as left', 'element missing']);
  });

  it('tells the gravest first', () => {
    const { reasons } = readinessOf(
      job({ unnamed: 1, finished_on: null, findings: [found('shim change misreckoned'), found('governor missing')] }),
    );
    expect(reasons.map(({ code }) => code)).toEqual([
      'governor missing',
      'gauge not named',
      'shim change misreckoned',
      'day finished not written',
    ]);
  });
});

describe('the table of reasons in docs/audit-queue.md', () => {
  const rows = readFileSync('docs/audit-queue.md', 'utf8')
    .split('\n')
    .map((line) => line.split('|').map((cell) => cell.trim()))
    .filter((cells) => cells.length === 5 && codes.severity.some((severity) => severity === cells[2]));

  it('lists every reason that is no finding', () => {
    expect(rows.map(([, code]) => code)).toEqual(own.map(([code]) => code));
  });

  it.each(rows.map(([, code = '', severity = '', supply = '']) => [code, severity, supply] as const))(
    '%s: %s, %s',
    (code, severity, supply) => {
      const fact = reasonFacts(reasonCodes.find((each) => each === code) ?? 'left out of limits');
      expect([fact.severity, fact.supply]).toEqual([severity, supply.replace(/^yes, .*/, 'yes')]);
    },
  );
});

describe('whether it can still be supplied', () => {
  const after = (change: Partial<QueuedJob>) => supplyOf(readinessOf(job(change)));

  it('goes by the worst of what counts', () => {
    expect(after({ findings: [found('gauge past its date')] })).toBe('yes');
    expect(after({ findings: [found('gauge past its date'), found('test point missing')] })).toBe(
      'if it was written down',
    );
    expect(after({ findings: [found('gauge past its date')], stages: [staged('governor', null, 'out')] })).toBe('no');
  });

  it('does not ask for what is for information', () => {
    expect(after({ finished_on: null })).toBeNull();
    expect(after({ finished_on: null, tolerance_assumed: 'yes' })).toBe('yes');
  });

  it('a pump left out, steps in the wrong order and a wrong revision can’t be', () => {
    for (const code of ['left out of limits', 'test points out of order', 'superseded revision'] as const) {
      expect(reasonFacts(code).supply).toBe('no');
    }
  });
});

test('one more reason never makes a record readier', () => {
  const some = fc.subarray([...codes.finding]);
  const states = ['ready', 'ready with remarks', 'not ready'];
  fc.assert(
    fc.property(some, some, (few, more) => {
      const of = (words: typeof few) =>
        states.indexOf(readinessOf(job({ findings: [...new Set(words)].map((word) => found(word)) })).state);
      expect(of([...few, ...more])).toBeGreaterThanOrEqual(of(few));
    }),
  );
});
