import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { codes } from '../../lib/calc/layout';
import { inLogUnits } from '../../lib/words/figures';
import {
  adjustment,
  balanceSentences,
  clearanceWords,
  decisionWords,
  doneBesideEnough,
  findingFigures,
  findingRows,
  gainSentence,
  listed,
  proofSentence,
  shimOrder,
  shimPlanSentences,
  turnedBesideEnough,
  type BalancePlan,
  type ShimPlan,
  type ShimStep,
} from '../../lib/words/plan';

/** Hard spaces as plain ones, so that a sentence can be written here as it is read. */
const read = (text: string): string => text.replaceAll('\u00a0', ' ');
const told = (sentences: readonly string[]): string => read(sentences.join(' '));

const barrels = { adjuster: 'barrel_shim', screw_mm_per_turn: null } as const;
const plan: ShimPlan = {
  status: 'possible',
  barrels: 1,
  moved_mm: 0.1,
  lift_after_mm: 2.05,
  step_mm: 0.05,
  step_assumed: 'no',
  done_barrels: 0,
  done_mm: 0,
};
const step = (element: number, plan_mm: number | null, planned_error_deg: number | null): ShimStep => ({
  element,
  plan_mm,
  planned_error_deg,
  tolerance_deg: 0.5,
});
const steps = [step(1, 0, 0), step(2, 0, -0.1), step(3, 0.1, 0.2), step(4, 0, 0.05)];

describe('the least-rework shim plan in words', () => {
  it('says what to do, where the reference then closes and what error is left', () => {
    expect(told(shimPlanSentences(plan, steps, barrels, inLogUnits))).toBe(
      'Add 0.10 mm under barrel 3; leave the others. The reference then closes at 2.05 mm, the largest error is 0.20° cam late.',
    );
  });

  it('tells changes of one size together and leaves nobody to leave alone where all change', () => {
    const both = [step(1, -0.05, 0), step(2, -0.05, -0.3), step(3, 0.1, 0.2)];
    expect(told(shimPlanSentences({ ...plan, barrels: 3 }, both, barrels, inLogUnits))).toMatch(
      /^Take 0\.05 mm out from under barrels 1 and 2, add 0\.10 mm under barrel 3\. The .* 0\.30° cam early\.$/,
    );
  });

  it.each([
    ['tappet_shim', 0.1, 'add 0.10 mm in tappet 3'],
    ['tappet_shim', -0.1, 'take 0.10 mm out of tappet 3'],
    ['tappet_screw', 0.25, 'raise the tappet screw of element 3 by 0.25 mm, 0.25 turns'],
    ['tappet_screw', -0.125, 'lower the tappet screw of element 3 by 0.125 mm, 0.13 turns'],
    ['barrel_shim', -0.1, 'take 0.10 mm out from under barrel 3'],
  ] as const)('uses the verb of a %s for %f mm', (adjuster, mm, words) => {
    expect(read(shimOrder([3], mm, { adjuster, screw_mm_per_turn: 1 }, inLogUnits))).toBe(words);
  });

  it('puts the shims of split pairs under both halves', () => {
    const pairs = { ...barrels, split_pairs: true };
    expect(read(shimOrder([3], 0.1, pairs, inLogUnits))).toBe('add 0.10 mm under both halves of barrel 3');
    expect(read(shimOrder([3, 4], -0.1, pairs, inLogUnits))).toBe(
      'take 0.10 mm out from under both halves of barrels 3 and 4',
    );
  });

  it('has a pair found uneven made even at the height that the plan asks for', () => {
    const pairs = { ...barrels, split_pairs: true };
    const uneven = [step(1, 0, 0), { ...step(3, 0.1, -0.3), before_mm: 1, before_second_mm: 1.2 }];
    expect(told(shimPlanSentences(plan, uneven, pairs, inLogUnits))).toMatch(
      /^Set both halves under barrel 3 to 1\.20 mm, as they differ: 1\.00 mm and 1\.20 mm; leave the others\./,
    );
    const inAlready = [{ ...step(3, 0, 0), before_mm: 1, before_second_mm: 1.2 }];
    const [order] = shimPlanSentences({ ...plan, status: 'in already' }, inAlready, pairs, inLogUnits);
    expect(read(order ?? '')).toBe('Set both halves under barrel 3 to 1.10 mm, as they differ: 1.00 mm and 1.20 mm.');
  });

  it('gives no turns for a screw without a pitch', () => {
    expect(read(shimOrder([3, 4], 0.1, { adjuster: 'tappet_screw', screw_mm_per_turn: null }, inLogUnits))).toBe(
      'raise the tappet screws of elements 3 and 4 by 0.10 mm',
    );
  });

  it('says that tolerance is not reached and what remains', () => {
    const left = [step(1, 0, 0), step(2, -0.05, 0.72), step(3, 0, -0.5)];
    const words = told(shimPlanSentences({ ...plan, status: 'closest' }, left, barrels, inLogUnits));
    expect(words).toContain('can’t be reached');
    expect(words).toContain('What remains out of tolerance: element 2 0.72° cam late.');
    expect(told(shimPlanSentences({ ...plan, status: 'closest' }, steps, barrels, inLogUnits))).toContain(
      'the reference lift',
    );
  });

  it('never writes a figure that is not known, whatever the status', () => {
    const unknown: ShimPlan = { ...plan, moved_mm: null, lift_after_mm: null, step_mm: null, done_mm: null };
    for (const status of codes.plan) {
      const none = [step(1, null, null), step(2, null, null)];
      const words = [
        ...shimPlanSentences({ ...unknown, status, barrels: 0 }, none, barrels, inLogUnits),
        doneBesideEnough({ ...unknown, status, done_barrels: 2 }, barrels, inLogUnits),
      ];
      expect(words.join(' ')).not.toMatch(/NaN|null|–|undefined/);
    }
  });

  it('names every element that changes once and no other', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -6, max: 6 }), { minLength: 1, maxLength: 12 }),
        fc.constantFrom('barrel_shim', 'tappet_shim', 'tappet_screw'),
        (changes, adjuster) => {
          const all = changes.map((n, i) => step(i + 1, n * 0.05, 0));
          const [order = ''] = shimPlanSentences(plan, all, { adjuster, screw_mm_per_turn: null }, inLogUnits);
          const named = [...order.matchAll(/(?:barrels?|tappets?|elements?) ([\d, and]+)/g)].flatMap(([, list = '']) =>
            [...list.matchAll(/\d+(?!\.|\d)/g)].map(Number),
          );
          const moved = all.filter((one) => one.plan_mm !== 0).map((one) => one.element);
          expect(named.filter((n) => moved.includes(n)).toSorted((a, b) => a - b)).toEqual(moved);
        },
      ),
    );
  });
});

describe('what was done beside what would have been enough', () => {
  it('counts what was too much', () => {
    expect(read(doneBesideEnough({ ...plan, done_barrels: 3, done_mm: 0.35 }, barrels, inLogUnits))).toBe(
      'Changed after this run: 3 barrels, 0.35 mm in all; enough by this plan: 1 barrel, 0.10 mm in all. That is 2 barrels more than needed.',
    );
  });
  it('says where nothing had to be done', () => {
    expect(doneBesideEnough({ ...plan, status: 'in already', barrels: 0 }, barrels, inLogUnits)).toBe(
      'Nothing was changed after this run, and nothing had to be.',
    );
    expect(
      read(doneBesideEnough({ ...plan, status: 'in already', done_barrels: 1, done_mm: 0.1 }, barrels, inLogUnits)),
    ).toContain('nothing had to be changed');
  });
});

const balance: BalancePlan = {
  test_point: 'Base',
  status: 'turn',
  turned: 1,
  turned_with_rack: 1,
  target_mm3: 80,
  rack_move_mm: 0,
  mean_after_mm3: 80.2,
  spread_after: 1.5,
  spread_basis: 'range_percent',
  per_degree_mm3: 3.2,
  per_degree_basis: 'own draws',
  per_rack_mm3: 12,
  per_rack_basis: 'own draws',
  gain_ratio: 1.05,
  done_turned: 0,
  done_deg: 0,
};
const rotations = [
  { element: 1, planned_deg: null, slot_left_deg: 9, past_slot: 'no' },
  { element: 2, planned_deg: -1.2, slot_left_deg: 1, past_slot: 'yes' },
] as const;

describe('the balance plan in words', () => {
  it('says which element turns by how much which way, and the slot that is left', () => {
    expect(told(balanceSentences(balance, rotations, 'barrel', inLogUnits))).toBe(
      'Turn barrel 2 by 1.20° towards less fuel; leave the others. The mean is then 80.2 mm³/stroke, the spread 1.50 %. Room in the slot that way before the turn, if each barrel began in the middle: barrel 2 1.00°. Barrel 2 would run past the end of its slot.',
    );
  });
  it('moves the rack, not the barrels', () => {
    const rack: BalancePlan = {
      ...balance,
      status: 'move the rack',
      rack_move_mm: 0.12,
      turned_with_rack: 0,
      turned: 4,
    };
    expect(told(balanceSentences(rack, [], 'barrel', inLogUnits))).toMatch(
      /^Move the rack, not the barrels: 0\.12 mm towards more fuel\. The mean .* 4 barrels would have to be turned\.$/,
    );
    expect(told(balanceSentences({ ...rack, rack_move_mm: null }, [], 'barrel', inLogUnits))).toContain(
      'how far is not known',
    );
  });
  it('has a sentence for each status', () => {
    const first = codes.balance.map(
      (status) => balanceSentences({ ...balance, status }, rotations, 'sleeve', inLogUnits)[0],
    );
    expect(new Set(first).size).toBe(codes.balance.length);
  });
  it('tells the gain, its basis and how the two sources agree', () => {
    expect(read(gainSentence(balance, inLogUnits) ?? '')).toBe(
      'Reckoned with 3.20 mm³/stroke a degree, from this job’s own draws. The draws give 1.05 times the gain that plunger and helix give.',
    );
    expect(gainSentence({ ...balance, per_degree_mm3: null }, inLogUnits)).toBeNull();
    expect(read(turnedBesideEnough({ ...balance, done_turned: 2, done_deg: 3 }, 'barrel', inLogUnits))).toBe(
      'Turned after this run: 2 barrels, 3.00° in all; enough by this plan: 1 barrel.',
    );
  });
});

describe('verdicts, findings and clearances in words', () => {
  it('tell what the uncertainty makes of a verdict', () => {
    expect(decisionWords('in', 'cannot tell', 0.1)).toBe('with the gauge’s uncertainty: can’t tell');
    expect(decisionWords('in', 'in', 0.1)).toBe('also with the gauge’s uncertainty');
    expect(decisionWords('in', 'in', null)).toBe('no uncertainty stated');
    expect(decisionWords('not measured', 'not measured', null)).toBe('');
  });
  it('set the stated figure against the recomputed one, with units', () => {
    const finding = { finding: 'shim change stated with the wrong sign', stated: 0.15, recomputed: -0.15 } as const;
    expect(read(findingFigures(finding, inLogUnits))).toBe('on the card +0.15 mm, recomputed −0.15 mm');
    expect(
      read(findingFigures({ finding: 'fluid outside its window', stated: 35.1, recomputed: 38 }, inLogUnits)),
    ).toBe('read 35.1 °C, limit 38.0 °C');
    expect(
      read(findingFigures({ finding: 'superseded revision', stated: 19_000, recomputed: 18_900 }, inLogUnits)),
    ).toBe('received 8 Jan 2022, newer revision from 30 Sep 2021');
    expect(findingFigures({ finding: 'governor missing', stated: null, recomputed: null }, inLogUnits)).toBe('');
  });
  it('count rows only where rows disagree', () => {
    expect(read(findingRows('delivery misreckoned', 2))).toBe('2 rows of the log');
    expect(findingRows('test point missing', 1)).toBe('');
  });
  it('count what stands against the proof', () => {
    expect(read(proofSentence(2, 1))).toBe('2 findings break the proof and 1 finding weakens it.');
    expect(read(proofSentence(0, 1))).toBe('1 finding weakens the proof.');
    expect(read(proofSentence(0, 0))).toBe('No finding breaks or weakens the proof.');
    expect(read(proofSentence(0, 0, true))).toBe(
      'No finding breaks or weakens the proof. Something else stands against it, as listed below.',
    );
    expect(read(proofSentence(1, 0, true))).toContain('Something else stands against it');
  });
  it('give a clearance as an upper bound and a screw its own verbs', () => {
    expect(read(clearanceWords(3.14, inLogUnits))).toBe('at most 3.1 µm');
    expect(clearanceWords(0, inLogUnits)).toBe('none shows');
    expect(read(adjustment(-0.1, 'tappet_screw', inLogUnits))).toBe('−0.10 mm, lower');
    expect(read(adjustment(0.1, 'tappet_shim', inLogUnits))).toBe('+0.10 mm, add');
    expect(listed([1, 2, 3])).toBe('1, 2 and 3');
  });
});
