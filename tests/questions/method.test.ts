import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { UNFILTERED } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { retentionBaseline } from '../../lib/store/questions/retentionBaseline';
import { roomLeft } from '../../lib/store/questions/roomLeft';
import { FEWEST_VISITS, serialDrift } from '../../lib/store/questions/serialDrift';
import { visitReadings } from '../../lib/store/questions/visitReadings';
import { examples, expectAsWritten, list, text, type Cells } from '../calc/methodDoc';
import { logOf } from '../store/openLog';

/** The worked examples of docs/method.md whose figures are asked of a whole log: each row is a small log of one model. */

const SPECS =
  'spec_id,revision,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,slot_deg,retention_ratio';
const sheet = (ratio = '') => ({
  'specs.csv': `${SPECS}\nH-1,A,Heron,1,1,2.1,0.05,0.05,20,${ratio}\n`,
  'test_points.csv': `spec_id,revision,test_point,purpose,order,speed_rpm,rack_mm,low_mm3,high_mm3
H-1,A,full,full,1,1000,12,0,200
H-1,A,slow,low-speed,2,200,12,0,200
`,
});
const visits = (count: number, serial: (visit: number) => string) =>
  `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type\n${Array.from(
    { length: count },
    (_, k) => `V${k + 1},${serial(k + 1)},Heron,H-1,A,20${10 + k}-03-01,rebuild\n`,
  ).join('')}`;
const newParts = (at: readonly number[]) =>
  `job_id,element,part,quantity\n${at.map((visit) => `V${visit},1,plunger and barrel,1\n`).join('')}`;
/** The visits at which new parts were fitted; none where the cell is empty. */
const fittedAt = (row: Cells) => (text(row, 'new parts at visit') === '' ? [] : list(row, 'new parts at visit'));

async function ask<A, R>(files: Readonly<Record<string, string>>, question: Question<A, R>, args: A): Promise<R[]> {
  const { db } = await logOf(files);
  try {
    return z.array(question.row).parse(await db.rows(question.sql, question.params(args)));
  } finally {
    await db.close();
  }
}

/** A job of four elements, out of the middle of its bands at run 1, and at run 2 as the row has it. */
function leftWith(row: Cells): Readonly<Record<string, string>> {
  const [low = NaN, high = NaN] = list(row, 'low to high');
  const closed = (run: number, lift: string, errors: readonly number[]) =>
    [1, 3, 4, 2].map((element, k) => `V1,${run},${element},${90 * k + (errors[k] ?? NaN)},${k === 0 ? lift : ''}`);
  const drawn = (run: number, deliveries: readonly number[]) =>
    deliveries.map((mm3, k) => `V1,${run},full,1,${k + 1},${mm3},1000`);
  return {
    'specs.csv': `spec_id,revision,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,phasing_tol_deg
H-1,A,Heron,4,1-3-4-2,2.1,0.05,0.05,${text(row, 'T')}\n`,
    'test_points.csv': `spec_id,revision,test_point,purpose,order,speed_rpm,low_mm3,high_mm3,spread,spread_basis
H-1,A,full,base,1,1000,${low},${high},${text(row, 'S allowed')},${text(row, 'S allowed') === '' ? '' : 'range_mm3'}\n`,
    'jobs.csv': visits(1, () => 'S-1'),
    'closures.csv': `job_id,run,element,cam_deg,lift_mm\n${[
      ...closed(1, '2.14', [0, 0.45, 0, 0.1]),
      ...closed(2, text(row, 'h'), list(row, 'e in firing order')),
    ].join('\n')}\n`,
    'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes\n${[
      ...drawn(1, [high, high, high, high - 1]),
      ...drawn(2, list(row, 'q in the order of the elements')),
    ].join('\n')}\n`,
  };
}

const runs: Readonly<Record<string, (row: Cells) => Promise<void>>> = {
  'retention-baseline': async (row) => {
    const kept = list(row, 'ρ of new elements as left, a job each');
    const draws = kept.flatMap((share, k) => [
      `V${k + 1},1,full,1,1,100,1000`,
      `V${k + 1},1,slow,1,1,${100 * share},1000`,
    ]);
    // One more pump comes in, whose retention is held against the baseline.
    const last = kept.length + 1;
    const received = [`V${last},0,full,1,1,100,1000`, `V${last},0,slow,1,1,80,1000`];
    const [baseline] = await ask(
      {
        ...sheet(text(row, 'stated')),
        'jobs.csv': visits(last, (visit) => `S-${visit}`),
        'parts.csv': newParts(kept.map((_, k) => k + 1)),
        'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes\n${[...draws, ...received].join('\n')}\n`,
      },
      retentionBaseline,
      UNFILTERED,
    );
    expectAsWritten(baseline?.baseline ?? NaN, row, 'ρ₀');
    expect(baseline?.basis).toBe(text(row, 'basis'));
  },
  'room-left-in-the-tolerance': async (row) => {
    const rooms = await ask(leftWith(row), roomLeft, UNFILTERED);
    for (const figure of ['lift', 'phasing', 'delivery', 'spread'] as const) {
      expectAsWritten(rooms.find((room) => room.figure === figure)?.mean ?? NaN, row, figure);
    }
  },
  'stack-drift-over-visits': async (row) => {
    const stacks = list(row, 'stacks left, visit by visit');
    const drifts = await ask(
      {
        ...sheet(),
        'jobs.csv': visits(stacks.length, () => 'S-1'),
        'parts.csv': newParts(fittedAt(row)),
        'shims.csv': `job_id,run,element,before_mm,after_mm\n${stacks.map((mm, k) => `V${k + 1},1,1,1.60,${mm}\n`).join('')}`,
      },
      serialDrift,
      { serial: 'S-1' },
    );
    const [drift] = drifts;
    expect(drifts.length).toBe(text(row, 'visits') === '' ? 0 : 1);
    expectAsWritten(drift?.visits ?? NaN, row, 'visits');
    expectAsWritten(drift?.first_mm ?? NaN, row, 'first');
    expectAsWritten(drift?.last_mm ?? NaN, row, 'last');
  },
  'rotation-over-visits': async (row) => {
    const turns = text(row, 'rotations of visits, run 0 / run 1')
      .split(' ')
      .map((visit) => visit.split('/'));
    const read = await ask(
      {
        ...sheet(),
        'jobs.csv': visits(turns.length, () => 'S-1'),
        'parts.csv': newParts(fittedAt(row)),
        'barrels.csv': `job_id,run,element,rotation_deg\n${turns
          .flatMap((visit, k) => visit.map((deg, run) => `V${k + 1},${run},1,${deg}\n`))
          .join('')}`,
      },
      visitReadings,
      { serial: 'S-1' },
    );
    const used = text(row, 'used after each visit').split(' ');
    expect(read).toHaveLength(used.length);
    used.forEach((figure, k) => {
      expectAsWritten(read[k]?.rotation_used_deg ?? NaN, new Map([['used', figure]]), 'used');
    });
  },
};

describe('docs/method.md', () => {
  test.each(Object.entries(runs))('the worked examples under %s come out as written', async (anchor, run) => {
    const rows = examples(anchor);
    expect(rows.length).toBeGreaterThan(1);
    for (const row of rows) await run(row);
  });

  test('a stack is said to keep shrinking from as many visits on as the document says', () => {
    const told = examples('stack-drift-over-visits').map((row) => text(row, 'visits'));
    expect(Math.min(...told.filter((cell) => cell !== '').map(Number))).toBe(FEWEST_VISITS);
  });
});
