import { describe, expect, test } from 'vitest';
import { BalancePlanner, runsPastSlot, slotLeft } from '../../lib/calc/delivery/balance';
import { liftRate } from '../../lib/calc/timing/cam';
import { drawWindows, isOutside, perStroke } from '../../lib/calc/delivery/delivery';
import { agrees, findingFacts } from '../../lib/calc/proof/findings';
import { formulas, type Formula } from '../../lib/calc/formulas/formulas';
import { chooseGains } from '../../lib/calc/delivery/gain';
import { GaugeBook } from '../../lib/calc/proof/gauges';
import { CheckReadings } from '../../lib/calc/governor/governor';
import { code, codes, layout, type ResultColumn, resultTables } from '../../lib/calc/layout';
import {
  coefficientOfVariation,
  emptyLeakFit,
  equivalentClearance,
  fitLeak,
  leakFlow,
  retentionDeficit,
} from '../../lib/calc/wear/leakage';
import { volumeAtReference, volumeCorrection } from '../../lib/calc/delivery/petroleum';
import {
  ALLOWED_PAIR_DIFFERENCE_MM,
  ASSUMED_TOLERANCE_DEG,
  changeForPhase,
  nearestChange,
  phaseError,
  screwTurns,
} from '../../lib/calc/timing/phasing';
import { retention } from '../../lib/calc/wear/retention';
import { planStatuses, ShimPlanner } from '../../lib/calc/timing/shimplan';
import { mean, spread } from '../../lib/calc/delivery/spread';
import { camRateAtLift, tangentCam } from '../../lib/calc/timing/tangentcam';
import { changeForLift, highestLift, liftError, lowestLift, referenceLift } from '../../lib/calc/timing/timing';
import type { Adjuster, CheckKind, CheckUnit, SpreadBasis } from '../../lib/calc/types';
import {
  ASSUMED_STROKES_UNCERTAINTY,
  changeUncertainty,
  combined,
  conformanceProbability,
  decide,
  deliveryUncertainty,
  meanUncertainty,
  phaseUncertainty,
  repeatUncertainty,
  spreadUncertainty,
} from '../../lib/calc/proof/uncertainty';
import { FIRST_RUN, stageFirstPass, StageTally } from '../../lib/calc/proof/firstpass';
import { combine, judge } from '../../lib/calc/proof/verdict';
import { slopeWithin } from '../../lib/stats/slope';
import { wilson } from '../../lib/stats/wilson';
import { spareBarrels } from '../../lib/store/questions/reworkCost';
import { sixElements, testPoint } from './build';
import {
  type Cells,
  dayOf,
  examples,
  expectAsWritten,
  expectListAsWritten,
  list,
  number,
  oneOf,
  reals,
  runOnLogs,
  sections,
  text,
} from './methodDoc';

const checkUnits: Partial<Record<CheckKind, CheckUnit>> = {
  rack_at_speed: 'mm',
  breakaway: 'rpm',
  cut_off: 'rpm',
  droop: 'percent',
};
const checkKinds: readonly CheckKind[] = ['rack_at_speed', 'breakaway', 'cut_off', 'droop'];
const adjusters: readonly Adjuster[] = ['barrel_shim', 'tappet_shim', 'tappet_screw'];
const bases: readonly SpreadBasis[] = ['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent'];
/** What each section's table is worked out with. */
const runs: Readonly<Record<string, (row: Cells) => void>> = {
  'lift-to-port-closure': (row) => {
    const lift_mm = number(row, 'L');
    const spec = sixElements({ lift_mm, lift_minus_mm: number(row, 'a'), lift_plus_mm: number(row, 'b') });
    const h = referenceLift(number(row, 'reading'), number(row, 'preload'));
    expectAsWritten(h, row, 'h');
    expectAsWritten(liftError(spec, h), row, 'h − L');
    expectAsWritten(changeForLift(liftError(spec, h), oneOf(adjusters, row, 'adjuster')), row, 'Δs_ref');
    expect(codes.verdict[judge(h, lowestLift(spec), highestLift(spec))]).toBe(text(row, 'verdict'));
  },
  phasing: (row) => {
    const alpha = (360 * number(row, 'place')) / number(row, 'n');
    const e = phaseError(number(row, 'θ'), number(row, 'θ_ref'), alpha);
    const tolerance = text(row, 'T') === '' ? ASSUMED_TOLERANCE_DEG : number(row, 'T');
    expectAsWritten(e, row, 'e');
    expect(codes.verdict[judge(e, -tolerance, tolerance)]).toBe(text(row, 'verdict'));
  },
  'lift-rate': (row) => {
    const spec = sixElements({
      base_radius_mm: number(row, 'r₁'),
      roller_radius_mm: number(row, 'r₂'),
      lift_rate_mm_per_deg: number(row, 'stated'),
    });
    const { rate, basis } = liftRate(spec, number(row, 'h'));
    expectAsWritten(rate, row, 'v');
    expect(codes.lift_rate_basis[basis]).toBe(text(row, 'basis'));
  },
  'shim-change': (row) => {
    const adjuster = oneOf(adjusters, row, 'adjuster');
    const shims = text(row, 'shims');
    const given = Number(shims.split(' ')[1]);
    const spec = sixElements({
      adjuster,
      shim_step_mm: shims.startsWith('step') ? given : NaN,
      screw_mm_per_turn: shims.startsWith('pitch') ? given : NaN,
      shim_sizes_mm: /^\d/.test(shims) ? list(row, 'shims') : null,
    });
    const change = changeForPhase(number(row, 'e'), number(row, 'v'), adjuster);
    expectAsWritten(change, row, 'Δs');
    expectAsWritten(nearestChange(spec, change, number(row, 'stack')), row, 'Δs′');
    expectAsWritten(screwTurns(spec, change), row, 'N');
  },
  'delivery-per-stroke': (row) => {
    const draws = Float64Array.from(list(row, 'V'), (volume) => perStroke(volume, number(row, 'N')));
    expectAsWritten(mean(draws, draws.length), row, 'q');
    if (draws.length > 1) expectAsWritten(Math.max(...draws) - Math.min(...draws), row, 'R');
  },
  'what-counts-as-a-draw': (row) => {
    const point = testPoint({ speed_rpm: number(row, 'speed'), speed_tol_rpm: number(row, 'tolerance') });
    const { speed } = drawWindows(point);
    expectAsWritten(speed.low, row, 'low');
    expectAsWritten(speed.high, row, 'high');
    expect(isOutside(number(row, 'reading'), speed) ? 'excluded' : 'counts').toBe(text(row, 'answer'));
  },
  'mean-and-spread': (row) => {
    const q = Float64Array.from(list(row, 'q'));
    expectAsWritten(mean(q, q.length), row, 'q̄');
    expectAsWritten(spread(q, q.length, oneOf(bases, row, 'basis')), row, 'S');
  },
  'low-speed-retention': (row) => {
    expectAsWritten(retention(number(row, 'q at low speed'), number(row, 'q at rated speed')), row, 'ρ');
  },
  'tangent-cam': (row) => {
    const cam = tangentCam(number(row, 'r₁'), number(row, 'r₂'), number(row, 'H'), number(row, 'Φ'));
    expectAsWritten(cam?.noseDistance ?? NaN, row, 'D');
    expectAsWritten(cam?.noseRadius ?? NaN, row, 'r₃');
    expectAsWritten(cam?.flankEnd ?? NaN, row, 'φ₁');
    expectAsWritten(cam?.flankLift ?? NaN, row, 'h₁');
    expectAsWritten(cam === null ? NaN : camRateAtLift(cam, number(row, 'h')), row, 'v');
  },
  'least-rework-shim-plan': (row) => {
    const spec = sixElements({
      adjuster: oneOf(adjusters, row, 'adjuster'),
      shim_step_mm: number(row, 'step'),
      lift_rate_mm_per_deg: number(row, 'v'),
      base_radius_mm: number(row, 'r₁'),
      roller_radius_mm: number(row, 'r₂'),
    });
    const errors = reals(row, 'e');
    const changes = new Float64Array(errors.length);
    const errorsAfter = new Float64Array(errors.length);
    const planner = new ShimPlanner(spec, number(row, 'T'));
    const before = new Float64Array(errors.length).fill(NaN);
    planner.plan(number(row, 'h'), { errors, before, changes, errorsAfter });
    expect(planStatuses[planner.status]).toBe(text(row, 'plan'));
    expectListAsWritten(changes, row, 'x');
    expectListAsWritten(errorsAfter, row, 'e′');
    expectAsWritten(planner.liftAfter, row, 'h + σ x_ref');
    expectAsWritten(planner.moved, row, 'sum');
  },
  'volume-at-reference-temperature': (row) => {
    const [density, from, to] = [number(row, 'd₁₅'), number(row, 'τ'), number(row, 'τ_ref')];
    expectAsWritten(volumeCorrection(density, from), row, 'VCF(τ)');
    expectAsWritten(volumeCorrection(density, to), row, 'VCF(τ_ref)');
    expectAsWritten(volumeAtReference(number(row, 'V'), density, from, to), row, 'V_ref');
  },
  gains: (row) => {
    const gains = chooseGains(number(row, 'own k_R'), number(row, 'd'), number(row, 'γ'), number(row, 'r_s'));
    expectAsWritten(gains.perRackMm, row, 'k_R');
    expectAsWritten(gains.perDegree, row, 'k_φ');
    expectAsWritten(gains.ratio, row, 'ratio');
    expect(gains.perDegreeBasis).toBe(text(row, 'basis of k_φ'));
  },
  'least-rework-balance-plan': (row) => {
    const q = reals(row, 'q');
    const rotation = new Float64Array(q.length);
    const limits = {
      low_mm3: number(row, 'low'),
      high_mm3: number(row, 'high'),
      spread: number(row, 'spread'),
      spread_basis: oneOf(bases, row, 'basis'),
    };
    const gains = { perDegree: number(row, 'k_φ'), perRackMm: number(row, 'k_R') };
    const plan = new BalancePlanner(rotation, new Float64Array(q.length)).plan(q, q.length, limits, gains);
    expect(plan.status).toBe(text(row, 'plan'));
    expectAsWritten(plan.turned, row, 'turned');
    expectAsWritten(plan.turnedWithRack, row, 'with rack');
    expectAsWritten(plan.target, row, 't');
    expectAsWritten(plan.rackMove_mm, row, 'Δy');
    expectListAsWritten(rotation, row, 'Δφ');
    expectAsWritten(plan.spreadAfter, row, 'S′');
  },
  'rotation-left-in-the-slot': (row) => {
    const [slot, used, turn] = [number(row, 'slot'), number(row, 'used'), number(row, 'Δφ')];
    expectAsWritten(slotLeft(slot, used, turn), row, 'left');
    expect(runsPastSlot(slot, used, turn) ? 'yes' : 'no').toBe(text(row, 'past the slot'));
  },
  'retention-deficit': (row) => {
    expectAsWritten(retentionDeficit(number(row, 'ρ'), number(row, 'ρ₀')), row, 'deficit');
  },
  'leak-slope': (row) => {
    const q = reals(row, 'q');
    const fit = emptyLeakFit();
    fitLeak(reals(row, 'rpm'), q, q.length, fit);
    expectAsWritten(fit.unleaked, row, 'q₀');
    expectAsWritten(fit.slope, row, 'Λ');
  },
  'equivalent-clearance': (row) => {
    const [slope, injection] = [number(row, 'Λ'), number(row, 'δ')];
    const gap = {
      diameter: number(row, 'd'),
      length: number(row, 'l'),
      pressure: number(row, 'Δp'),
      viscosity: number(row, 'μ'),
    };
    expectAsWritten(leakFlow(slope, injection), row, 'Q');
    expectAsWritten(equivalentClearance(slope, injection, gap), row, 'c');
  },
  'light-draw-scatter': (row) => {
    const q = reals(row, 'q');
    expectAsWritten(coefficientOfVariation(q, q.length), row, 'CV');
  },
  'governor-and-accessories': (row) => {
    const kind = oneOf(checkKinds, row, 'kind');
    const racks = list(row, 'rack');
    const held = new CheckReadings();
    list(row, 'rpm').forEach((speed, k) => {
      held.add(speed, racks[k] ?? NaN, NaN, NaN, -1);
    });
    const where = { speed_rpm: number(row, 'at'), boost_kpa: NaN, lever: -1 };
    held.judge({ check: 0, name: kind, kind, unit: checkUnits[kind] ?? 'mm', low: NaN, high: NaN, ...where });
    expectAsWritten(held.value, row, 'value');
    expect(codes.governor_basis[held.basis]).toBe(text(row, 'basis'));
  },
  'uncertainty-of-timing-and-phasing': (row) => {
    const ofError = phaseUncertainty(number(row, 'U_θ'), number(row, 'U_ref'));
    expectAsWritten(ofError, row, 'U_e');
    expectAsWritten(changeUncertainty(ofError, number(row, 'v')), row, 'U_Δs');
  },
  'uncertainty-of-a-delivery': (row) => {
    const typeB = deliveryUncertainty(
      number(row, 'V'),
      number(row, 'N'),
      number(row, 'U_V'),
      ASSUMED_STROKES_UNCERTAINTY,
    );
    const typeA = repeatUncertainty(number(row, 's_p'), number(row, 'm'));
    expectAsWritten(typeB, row, 'U_B');
    expectAsWritten(typeA, row, 'U_A');
    expectAsWritten(combined(typeB, typeA), row, 'U_q');
  },
  'uncertainty-of-mean-and-spread': (row) => {
    const q = reals(row, 'q');
    const typeB = q.map(() => number(row, 'U_B'));
    const typeA = q.map(() => number(row, 'U_A'));
    const basis = oneOf(bases, row, 'basis');
    expectAsWritten(meanUncertainty(typeB, typeA, q.length), row, 'U_q̄');
    expectAsWritten(spreadUncertainty(q, typeB, typeA, q.length, basis, q.slice()), row, 'U_S');
  },
  'three-way-decisions': (row) => {
    const [value, low, high, expanded] = [
      number(row, 'value'),
      number(row, 'low'),
      number(row, 'high'),
      number(row, 'U'),
    ];
    expectAsWritten(conformanceProbability(value, low, high, expanded), row, 'P');
    expect(codes.verdict[decide(value, low, high, expanded)]).toBe(text(row, 'decision'));
  },
  'gauges-in-date': (row) => {
    const calibration = { calibrated_day: [dayOf(row, 'calibrated')], due_day: [dayOf(row, 'due')] };
    const gauge = { gauge: 0, ...calibration, uncertainty: [NaN], unit: ['mm' as const] };
    expect(new GaugeBook(new Map([[0, gauge]])).state(0, dayOf(row, 'day'))).toBe(text(row, 'answer'));
  },
  'recorded-against-recomputed': (row) => {
    expect(agrees(number(row, 'stated'), number(row, 'recomputed')) ? 'yes' : 'no').toBe(text(row, 'answer'));
  },
  findings: (row) => {
    expect(findingFacts[oneOf(codes.finding, row, 'finding')].severity).toBe(text(row, 'severity'));
  },
  verdicts: (row) => {
    const told = judge(number(row, 'value'), number(row, 'low'), number(row, 'high'));
    expect(codes.verdict[told]).toBe(text(row, 'verdict'));
    const both = combine(told, code('verdict', oneOf(codes.verdict, row, 'another')));
    expect(codes.verdict[both]).toBe(text(row, 'both'));
  },
  'first-pass': (row) => {
    const tally = new StageTally(1);
    tally.reset();
    const verdicts = text(row, 'verdict of runs 0, 1, …').split(', ');
    verdicts.forEach((word, run) => {
      if (word !== '–') tally.addRun(0, run, code('verdict', oneOf(codes.verdict, new Map([['', word]]), '')));
    });
    list(row, 'changed after runs').forEach((run) => {
      const word = verdicts[run] ?? '';
      tally.addChange(0, run, code('verdict', oneOf(codes.verdict, new Map([['', word]]), '')));
    });
    expect(codes.answer[stageFirstPass(tally.firstVerdict[0] ?? NaN)]).toBe(text(row, 'first pass'));
    expect(codes.verdict[tally.leftVerdict(0)]).toBe(text(row, 'as left'));
    expect([tally.changes[0], tally.needless[0]]).toEqual([number(row, 'changes'), number(row, 'not needed')]);
  },
  'needless-hours': (row) => {
    const [n, groups] = [number(row, 'n'), number(row, 'groups')];
    const [sxx, sxy, syy] = [number(row, 'Sxx'), number(row, 'Sxy'), number(row, 'Syy')];
    const hours = slopeWithin({ n, groups, sxx, sxy, syy });
    expectAsWritten(hours?.slope ?? NaN, row, 'hours a change');
    expectAsWritten(hours?.low ?? NaN, row, 'from');
    expectAsWritten(hours?.high ?? NaN, row, 'to');
    const model = {
      pump_model: '',
      adjuster: null,
      jobs: n,
      reworked: n,
      done: 0,
      enough: 0,
      done_mm: 0,
      enough_mm: 0,
    };
    const [spare_low, spare_high] = [number(row, 'least'), number(row, 'most')];
    const { hours: inAll } = spareBarrels([{ ...model, spare_low, spare_high }], { n, hours });
    expectAsWritten(inAll?.low ?? NaN, row, 'least hours');
    expectAsWritten(inAll?.high ?? NaN, row, 'most hours');
  },
  'rates-and-their-interval': (row) => {
    const { low, high } = wilson(number(row, 'k'), number(row, 'n'));
    expectAsWritten(low, row, 'low');
    expectAsWritten(high, row, 'high');
  },
};

describe('docs/method.md', () => {
  test.each(Object.entries(runs))('the worked examples under %s come out as written', (anchor, run) => {
    const rows = examples(anchor);
    expect(rows.length).toBeGreaterThan(1);
    rows.forEach(run);
  });

  test.each(Object.entries<Formula>(formulas))(
    '%s stands in the section that it points to, word for word',
    (_, formula) => {
      expect(sections.get(formula.anchor)).toContain(`    ${formula.text}\n`);
    },
  );
});

describe('the rules of findings in docs/method.md', () => {
  const rules = new Map(examples('findings').map((row) => [text(row, 'finding'), text(row, 'rule')]));

  test('are there for every finding, in the order of its numbers, no two alike', () => {
    expect(examples('findings').map((row) => text(row, 'finding'))).toEqual(codes.finding);
    expect(new Set(rules.values()).size).toBe(codes.finding.length);
    for (const rule of rules.values()) expect(rule.length).toBeGreaterThan(20);
  });

  test('name the limits that the engine goes by, and the windows that exclude a draw', () => {
    for (const word of ['split pair found uneven', 'split pair differs']) {
      expect(rules.get(word)).toContain(`${ALLOWED_PAIR_DIFFERENCE_MM} mm`);
    }
    for (const reason of codes.exclusion) {
      const [what = ''] = reason.split(' ');
      expect(
        [...rules].filter(([, rule]) => rule.startsWith(what) && rule.endsWith('outside its window')),
      ).toHaveLength(1);
    }
    expect(rules.get('delivery misreckoned')).toContain('1000 V / N');
    expect(rules.get('first measurement missing')).toContain(`run ${FIRST_RUN}`);
  });
});

test('every section has a worked example that is run, and says where its formula comes from', () => {
  const others = ['symbols', 'the-search-for-recurring-faults'];
  const asked = [...sections].filter(([anchor]) => !others.includes(anchor));
  expect(asked.filter(([anchor]) => runs[anchor] === undefined && !runOnLogs.includes(anchor))).toEqual([]);
  expect(asked.filter(([anchor]) => examples(anchor).length === 0)).toEqual([]);
  const says = /\bSources?\b|[Cc]ommon practice, no source|E\. B\. Wilson|are ours/;
  expect(asked.filter(([, body]) => !says.test(body)).map(([anchor]) => anchor)).toEqual([]);
});

describe('formulas', () => {
  const named = Object.values<Formula>(formulas).flatMap(({ columns }) => columns);

  test('no result column is worked out in two ways', () => {
    expect(new Set(named).size).toBe(named.length);
  });

  test('every real result column but the limits and places that a specification states has its formula', () => {
    const stated = [
      'points.low_mm3',
      'points.high_mm3',
      'leakage.rack_mm',
      'governor_checks.at_rpm',
      'governor_checks.at_boost_kpa',
      'governor_checks.low',
      'governor_checks.high',
    ];
    const reals = resultTables.flatMap((table) =>
      Object.entries<ResultColumn>(layout[table].columns)
        .filter(([, column]) => column.type === 'real')
        .map(([name]) => `${table}.${name}`),
    );
    expect(reals.filter((name) => !stated.includes(name)).toSorted()).toEqual(
      named.filter((name) => reals.includes(name)).toSorted(),
    );
  });
});
