import type { Difference, InterpretationInput, Turn } from '@chordae/contract';
import { turn as turnSchema } from '@chordae/contract';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import { caseOf } from '../testing/case-builder';
import { differences } from './differences';
import { whatWouldChange } from './what-would-change';

function applied(input: InterpretationInput, turn: Turn): InterpretationInput {
  if (turn.input === 'weight') {
    const { weight } = input.patient;
    return {
      ...input,
      patient: { ...input.patient, weight: weight && { ...weight, kg: turn.to } },
    };
  }
  return {
    ...input,
    measurements: input.measurements.map((m) =>
      m.code === turn.input ? { ...m, value: m.value * (turn.to / turn.from) } : m,
    ),
  };
}

const dog = (measure: Parameters<typeof caseOf>[0]['measure'], kg = 7.4) => caseOf({ kg, measure });
const of = (input: InterpretationInput, code: string) => whatWouldChange(input).find((t) => t.input === code);

describe('whatWouldChange', () => {
  it('names the atrium at which LA:Ao reaches 1.6, to the tenth of a millimetre', () => {
    const turn = of(dog({ 'la-sax': 15, 'ao-sax': 10 }), 'la-sax');
    expect(turn).toMatchObject({ from: 15, to: 16, unit: 'mm' });
    expect(turn?.changes).toContainEqual({ kind: 'position', index: 'la-ao', from: 'within', to: 'above' });
  });

  it('names the ventricle at which LVIDDN passes 1.85, and the weight that would bring it there', () => {
    // 1.85 · 7.4^0.294 = 3.332 cm; the next tenth of a millimetre above is 33.4 (own arithmetic).
    const input = dog({ lvidd: 33.1, lvids: 20 });
    const turn = of(input, 'lvidd');
    expect(turn?.to).toBe(33.4);
    const weight = of(input, 'weight');
    expect(weight?.to).toBeLessThan(7.4);
    expect(weight?.changes.some((c) => c.kind === 'position' && c.index === 'lviddn')).toBe(true);
  });

  it('names the velocity from which a scale speaks: 4 · 2.24² = 20.1 mmHg', () => {
    const turn = of(dog({ 'ao-vmax': 2 }), 'ao-vmax');
    expect(turn?.to).toBe(2.24);
    expect(turn?.changes).toContainEqual({
      kind: 'grade',
      index: 'ao-gradient',
      scale: 'Eason 2021 (subaortic stenosis)',
      from: null,
      to: 'mild',
    });
  });

  it('gives only changes that really happen, the nearest first', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 45, noNaN: true }),
        fc.double({ min: 10, max: 19, noNaN: true }),
        fc.double({ min: 10, max: 30, noNaN: true }),
        fc.double({ min: 3, max: 14, noNaN: true }),
        (lvidd, lvids, la, kg) => {
          const input = caseOf({ kg, measure: { lvidd, lvids, 'la-sax': la, 'ao-sax': 12 } });
          const before = interpret(input);
          const turns = whatWouldChange(input);
          let share = 0;
          for (const turn of turns) {
            turnSchema.parse(turn);
            const now: Difference[] = differences(before, interpret(applied(input, turn)));
            expect(now).toEqual(turn.changes);
            const next = Math.abs(turn.to - turn.from) / turn.from;
            expect(next).toBeGreaterThanOrEqual(share);
            share = next;
          }
        },
      ),
      { numRuns: 60, seed: 20261125 },
    );
  });

  it('finds no smaller change in steps of a tenth of a millimetre', () => {
    const input = dog({ lvidd: 31.2, lvids: 19.4, 'la-sax': 17.3, 'ao-sax': 11.8 });
    const before = interpret(input);
    for (const turn of whatWouldChange(input)) {
      if (turn.input === 'weight') continue;
      const distance = Math.abs(turn.to - turn.from);
      for (let d = 0.1; d < distance - 0.05; d += 0.1) {
        for (const to of [turn.from - d, turn.from + d]) {
          const inBetween = differences(before, interpret(applied(input, { ...turn, to })));
          expect(inBetween, `${turn.input} ${to}`).toEqual([]);
        }
      }
    }
  });

  it('says nothing for a case without numbers', () => {
    expect(whatWouldChange(caseOf({ kg: null, measure: {} }))).toEqual([]);
  });
});
