import type { InterpretationInput, MeasurementCode, ObservationCode } from '@chordae/contract';
import {
  interpretation,
  interpretationInput,
  measurementCodes,
  observationCodes,
  scanPlanId,
  species,
  viewId,
} from '@chordae/contract';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { interpret } from './interpret';
import { caseOf } from './testing/case-builder';

const codes = Object.keys(measurementCodes) as MeasurementCode[];
const observed = Object.keys(observationCodes) as ObservationCode[];
const yesNoUnknown = fc.option(fc.constantFrom('yes' as const, 'no' as const, 'unknown' as const));

const anyNumber = fc.oneof(
  fc.double({ min: 0.1, max: 120, noNaN: true }),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constantFrom(0, -1, 1e300, 5e-324),
);

const measurement = fc.record({
  code: fc.constantFrom(...codes),
  value: anyNumber,
  view: fc.option(fc.constantFrom(...viewId.options)),
  method: fc.option(fc.constantFrom('2d' as const, 'm-mode' as const, 'doppler' as const, 'other' as const)),
  beat: fc.option(fc.integer({ min: 1, max: 20 })),
  source: fc.constantFrom('typed' as const, 'machine' as const, 'caliper' as const, 'computed' as const),
});

const observation = fc.constantFrom(...observed).chain((code) =>
  fc.record({
    id: fc.uuid(),
    code: fc.constant(code),
    value: fc.constantFrom<string>(...observationCodes[code].values),
  }),
);

const anyInput: fc.Arbitrary<InterpretationInput> = fc.record({
  schema: fc.constant(1 as const),
  patient: fc.record({
    species: fc.constantFrom(...species.options),
    breedCode: fc.option(
      fc.constantFrom('doberman', 'greyhound', 'great-dane', 'maine-coon', 'standardbred', 'nothing-known'),
    ),
    breedText: fc.string(),
    sex: fc.constantFrom('female' as const, 'male' as const, 'unknown' as const),
    neutered: fc.option(fc.boolean()),
    ageMonths: fc.option(fc.integer({ min: 0, max: 400 })),
    weight: fc.option(fc.record({ kg: anyNumber, guessed: fc.boolean() })),
  }),
  plan: fc.constantFrom(...scanPlanId.options),
  urgencyAsked: fc.constantFrom(null, 'routine' as const, 'emergency' as const),
  state: fc.record({
    sedative: fc.option(
      fc.constantFrom('none' as const, 'alpha-2' as const, 'opioid' as const, 'unknown' as const),
    ),
    sedativeAt: fc.constant(null),
    diuretic24h: yesNoUnknown,
    fluids24h: yesNoUnknown,
    hydration: fc.option(fc.constantFrom('normal' as const, 'dry' as const, 'unknown' as const)),
    rhythm: fc.option(fc.constantFrom('sinus' as const, 'atrial-fibrillation' as const, 'unknown' as const)),
    posture: fc.constant(null),
    bodyCondition: fc.option(fc.integer({ min: 1, max: 9 })),
    ascites: yesNoUnknown,
    heartDrugs: fc.constant(null),
  }),
  measurements: fc
    .array(measurement, { maxLength: 30 })
    .map((list) => list.map((m, i) => ({ ...m, id: `m${i}`, unit: measurementCodes[m.code].unit }))),
  observations: fc
    .array(observation, { maxLength: 12 })
    .map((list) => list.map((o, i) => ({ ...o, id: `o${i}` }))),
  views: fc.array(
    fc.record({
      view: fc.constantFrom(...viewId.options),
      clipId: fc.option(fc.uuid()),
      judged: fc.constantFrom(
        'received' as const,
        'adequate' as const,
        'doubtful' as const,
        'not-possible' as const,
      ),
      why: fc.option(fc.string()),
    }),
    { maxLength: 12 },
  ),
});

/** The list from its end. */
function turned<T>(list: readonly T[]): T[] {
  return list.map((_, i) => list[list.length - 1 - i] as T);
}

function numbersOf(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (Array.isArray(value)) return value.flatMap(numbersOf);
  return value !== null && typeof value === 'object' ? Object.values(value).flatMap(numbersOf) : [];
}

describe('for any input of the schema', () => {
  it('answers without throwing, in the schema, with finite numbers, evidence and a source', () => {
    fc.assert(
      fc.property(anyInput, (input) => {
        interpretationInput.parse(input);
        const answer = interpretation.parse(interpret(input));
        expect(numbersOf(answer).every(Number.isFinite)).toBe(true);
        for (const flag of answer.flags) {
          const { measurementIds, observationIds, indexCodes } = flag.evidence;
          const aboutWeight = flag.rule.id === 'check.weight';
          expect(aboutWeight || measurementIds.length + observationIds.length + indexCodes.length > 0).toBe(
            true,
          );
          expect(flag.sources.length).toBeGreaterThan(0);
        }
        expect(new Set(answer.flags.map((f) => f.key)).size).toBe(answer.flags.length);
      }),
      { numRuns: 1500 },
    );
  });

  it('does not depend on the order of measurements, observations and views', () => {
    fc.assert(
      fc.property(anyInput, (input) => {
        const other = {
          ...input,
          measurements: turned(input.measurements),
          observations: turned(input.observations),
          views: turned(input.views),
        };
        const a = interpret(input);
        const b = interpret(other);
        expect(b.inputHash).toBe(a.inputHash);
        expect(b).toEqual(a);
      }),
      { numRuns: 500 },
    );
  });

  it('never lowers the urgency when a tick of distress, collapse or a cold limb is added', () => {
    const rank = { routine: 0, urgent: 1, emergency: 2 };
    const ticks = [
      'open-mouth-breathing',
      'blue-gums',
      'cannot-lie',
      'breathing-effort',
      'collapse',
      'weak-pulses-or-pale',
      'cold-painful-limb',
      'sudden-paralysis',
      'fever',
      'dark-urine',
    ] as const;
    fc.assert(
      fc.property(anyInput, fc.constantFrom(...ticks), (input, code) => {
        const more = { ...input, observations: [...input.observations, { id: 'zz', code, value: 'yes' }] };
        const before = interpret(input);
        const after = interpret(more);
        expect(rank[after.urgencyProposed]).toBeGreaterThanOrEqual(rank[before.urgencyProposed]);
      }),
      { numRuns: 500 },
    );
  });

  it('draws no new conclusion from a case when the weight is taken away', () => {
    fc.assert(
      fc.property(anyInput, (input) => {
        const bare = interpret({ ...input, patient: { ...input.patient, weight: null } });
        // Without a weight a size cannot be impossible for it, so a plausibility flag may go and its index come back;
        // every conclusion that remains must be one that the weight did not carry.
        const plain = bare.indices.filter((i) => i.unit.includes('kg^') || i.unit === 'ml/m2');
        expect(plain).toEqual([]);
        expect(bare.stages.filter((s) => s.scheme.startsWith('acvim-mmvd') && s.code.includes('b2'))).toEqual(
          [],
        );
      }),
      { numRuns: 500 },
    );
  });
});

/** Conclusions that rest on the absence of something else being said are named here, with the reason. */
const DEPENDS_ON_AGREEMENT = new Set([
  // Drawn only where nothing calls the atrium large: taking the dissenting measurement away may bring it up.
  'LEFT_HEART_FAILURE_LESS_LIKELY',
]);

describe('taking a plausible measurement or a finding away', () => {
  const sane = fc.record({
    lvidd: fc.double({ min: 25, max: 45, noNaN: true }),
    lvids: fc.double({ min: 10, max: 24, noNaN: true }),
    'la-sax': fc.double({ min: 12, max: 30, noNaN: true }),
    'ao-sax': fc.double({ min: 9, max: 15, noNaN: true }),
    'tr-vmax': fc.double({ min: 1, max: 5, noNaN: true }),
    'mitral-e': fc.double({ min: 0.5, max: 1.6, noNaN: true }),
  });
  const findings = fc.dictionary(
    fc.constantFrom(
      'b-lines',
      'pericardial-fluid',
      'la-clot',
      'murmur-grade',
      'ever-in-failure',
      'breathing-effort',
    ),
    fc.constantFrom('yes', 'no', 'many-both-sides', 'moderate', 'none', '4', 'floating'),
  );

  it('removes conclusions and adds none', () => {
    fc.assert(
      fc.property(sane, findings, fc.nat(), (measure, observe, pick) => {
        const input = caseOf({ kg: 8.1, measure, observe });
        const all = interpret(input);
        const had = new Set([...all.flags.map((f) => f.code), ...all.stages.map((s) => s.code)]);
        const total = input.measurements.length + input.observations.length;
        const drop = pick % total;
        const less = interpret({
          ...input,
          measurements: input.measurements.filter((_, i) => i !== drop),
          observations: input.observations.filter((_, i) => i !== drop - input.measurements.length),
        });
        const added = [...less.flags.map((f) => f.code), ...less.stages.map((s) => s.code)].filter(
          (c) => !had.has(c),
        );
        expect(added.filter((c) => !DEPENDS_ON_AGREEMENT.has(c))).toEqual([]);
      }),
      { numRuns: 800 },
    );
  });
});

describe('monotone directions', () => {
  const CLEAR = ['LA_ENLARGED', 'LV_LARGE_DIASTOLE', 'TRICUSPID_GRADIENT_GRADED'] as const;
  const cases: Record<
    (typeof CLEAR)[number],
    { code: MeasurementCode; from: number; to: number; rest: Partial<Record<MeasurementCode, number>> }
  > = {
    LA_ENLARGED: { code: 'la-sax', from: 10, to: 40, rest: { 'ao-sax': 11 } },
    LV_LARGE_DIASTOLE: { code: 'lvidd', from: 15, to: 80, rest: {} },
    TRICUSPID_GRADIENT_GRADED: { code: 'tr-vmax', from: 1, to: 7, rest: {} },
  };

  it.each(CLEAR)('%s, once raised, stays raised as the value gets worse', (flagCode) => {
    const { code, from, to, rest } = cases[flagCode];
    let raised = false;
    let changes = 0;
    for (let i = 0; i <= 400; i += 1) {
      const value = from + ((to - from) * i) / 400;
      const now = interpret(caseOf({ measure: { ...rest, [code]: value } })).flags.some(
        (f) => f.code === flagCode,
      );
      if (now !== raised) changes += 1;
      raised = now;
    }
    expect({ raised, changes }).toEqual({ raised: true, changes: 1 });
  });

  it('gives the same findings whatever unit a weight was typed in', async () => {
    const { parseWeight } = await import('./entry/parse-weight');
    const kg = parseWeight('7,4 kg', null);
    const lb = parseWeight('16.314207 lb', null);
    if (!kg.ok || !lb.ok) throw new Error('weights not read');
    expect(lb.kg).toBeCloseTo(kg.kg, 5);
    const find = (w: number) =>
      interpret(caseOf({ kg: w, measure: { lvidd: 33, lvids: 19 } })).flags.map((f) => f.code);
    expect(find(lb.kg)).toEqual(find(kg.kg));
  });
});
