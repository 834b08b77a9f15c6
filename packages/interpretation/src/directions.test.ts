import type { InterpretationInput, MeasurementCode, ObservationCode } from '@chordae/contract';
import { observationCodes } from '@chordae/contract';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { directions } from './directions';
import { interpret } from './interpret';
import type { CaseParts } from './testing/case-builder';
import { caseOf } from './testing/case-builder';

const RANK = { routine: 0, urgent: 1, emergency: 2 };
const between = (min: number, max: number) => fc.option(fc.double({ min, max, noNaN: true }));

/** Plausible sizes: what contradicts itself is set aside and questioned, which is another rule's matter. */
const measures = fc.record({
  lvidd: between(14, 18),
  'la-sax': between(8, 30),
  'ao-sax': between(8, 14),
  'la-long': between(10, 26),
  'tr-vmax': between(1, 5),
  'ao-vmax': between(0.5, 6),
  'pa-vmax': between(0.5, 5),
  'breathing-rate': between(15, 120),
  'heart-rate': between(60, 260),
});

const anyAnswers = fc.dictionary(
  fc.constantFrom(...(Object.keys(observationCodes) as ObservationCode[])),
  fc.nat(),
  {
    maxKeys: 12,
  },
);

const anyCase = fc
  .record({
    species: fc.constantFrom('dog' as const, 'cat' as const, 'horse' as const),
    kg: fc.option(fc.double({ min: 3, max: 12, noNaN: true })),
    ageMonths: fc.constantFrom(null, 6, 96),
    diuretic: fc.constantFrom('yes' as const, 'no' as const, null),
    measure: measures,
    observe: anyAnswers,
  })
  .map((parts): CaseParts => {
    const given = Object.entries(parts.measure).filter((e): e is [string, number] => e[1] !== null);
    const observe = Object.fromEntries(
      Object.entries(parts.observe).map(([code, n]) => {
        const { values } = observationCodes[code as ObservationCode];
        return [code, values[n % values.length] as string];
      }),
    );
    return {
      species: parts.species,
      kg: parts.kg,
      ageMonths: parts.ageMonths,
      state: { diuretic24h: parts.diuretic },
      measure: Object.fromEntries(given),
      observe,
    };
  });

type Row = (typeof directions)[number];

function worseMeasured(parts: CaseParts, code: MeasurementCode, row: Row, share: number): CaseParts | null {
  const was = parts.measure?.[code];
  if (was === undefined || was === null) return null;
  const value = row.worse === 'up' ? was * (1 + share) : was * (1 - 0.9 * share);
  return { ...parts, measure: { ...parts.measure, [code]: value } };
}

function worseAnswered(parts: CaseParts, row: Row, share: number): CaseParts | null {
  const code = row.observation as ObservationCode;
  const order = row.order ?? [];
  const now = parts.observe?.[code];
  const at = now === undefined ? 0 : order.indexOf(now);
  if (at < 0 || at === order.length - 1) return null;
  const to = order[Math.min(order.length - 1, at + 1 + Math.floor(share * (order.length - 1 - at)))];
  return { ...parts, observe: { ...parts.observe, [code]: to as string } };
}

const urgency = (input: InterpretationInput): number => RANK[interpret(input).urgencyProposed];

describe('worse never lowers the urgency', () => {
  it.each(directions.map((row) => [`${row.rule}: ${row.measurement ?? row.observation}`, row] as const))(
    '%s',
    (_title, row) => {
      let compared = 0;
      fc.assert(
        fc.property(anyCase, fc.double({ min: 0.01, max: 1, noNaN: true }), (drawn, share) => {
          const species = row.species?.[0];
          const parts = species ? { ...drawn, species } : drawn;
          const filled =
            row.measurement && parts.measure?.[row.measurement] === undefined
              ? { ...parts, measure: { ...parts.measure, [row.measurement]: START[row.measurement] ?? 2 } }
              : parts;
          const worse = row.measurement
            ? worseMeasured(filled, row.measurement, row, share * (ROOM[row.measurement] ?? 1))
            : worseAnswered(filled, row, share);
          if (worse === null) return;
          compared += 1;
          expect(urgency(caseOf(worse))).toBeGreaterThanOrEqual(urgency(caseOf(filled)));
        }),
        { numRuns: 300, seed: 20261125 },
      );
      expect(compared).toBeGreaterThan(50);
    },
  );

  it('keeps the emergency when B-lines on one side meet an atrium that turns out large', () => {
    const at = (la: string) =>
      urgency(
        caseOf({
          state: { diuretic24h: 'no' },
          observe: { 'breathing-effort': 'yes', 'b-lines': 'many-one-side', 'la-by-eye': la },
        }),
      );
    expect([at('not-large'), at('large'), at('very-large')]).toEqual([2, 2, 2]);
  });

  it('is declared for every rule that was ever seen to set an urgency', () => {
    const declared = new Set(directions.map((d) => d.rule));
    const seen = new Set<string>();
    fc.assert(
      fc.property(anyCase, (parts) => {
        for (const flag of interpret(caseOf(parts)).flags)
          if (flag.urgency !== null) seen.add(flag.rule.id.split(':')[0] as string);
      }),
      { numRuns: 4000, seed: 20261125 },
    );
    expect(seen.size).toBeGreaterThan(15);
    expect([...seen].filter((rule) => !declared.has(rule))).toEqual([]);
  });
});

/** Where a measurement begins when the case drew none, and how far it may grow before it contradicts its pair. */
const START: Partial<Record<MeasurementCode, number>> = {
  lvids: 6,
  'la-sax': 10,
  'la-long': 12,
  'breathing-rate': 30,
};
const ROOM: Partial<Record<MeasurementCode, number>> = {
  lvids: 1,
  'la-sax': 1,
  'la-long': 0.7,
  'tr-vmax': 0.5,
};
