import { describe, expect, it } from 'vitest';
import { caseOf } from '../testing/case-builder';
import { inputHashOf, numbersHashOf } from './input-hash';

describe('inputHashOf', () => {
  it('does not depend on the order of rows that differ only in nothing against an empty text', () => {
    const rows = [
      { view: 'eq-r-4ch' as const, clipId: null, judged: 'doubtful' as const, why: null },
      { view: 'eq-r-4ch' as const, clipId: null, judged: 'doubtful' as const, why: '' },
    ];
    const base = caseOf({ measure: {} });
    expect(inputHashOf({ ...base, views: rows })).toBe(inputHashOf({ ...base, views: [...rows].reverse() }));
  });

  it('changes with every field that it holds', () => {
    const base = caseOf({ measure: { lvidd: 33 }, observe: { fever: 'no' } });
    const measured = base.measurements[0];
    const observed = base.observations[0];
    if (!measured || !observed) throw new Error('the case lost its rows');
    const others = [
      { ...base, plan: 'collapse' as const },
      { ...base, patient: { ...base.patient, weight: { kg: 7.5, guessed: false } } },
      { ...base, state: { ...base.state, hydration: 'dry' as const } },
      { ...base, measurements: [{ ...measured, value: 33.000000001 }] },
      { ...base, measurements: [{ ...measured, view: null }] },
      { ...base, measurements: [{ ...measured, beat: 1 }] },
      { ...base, observations: [{ ...observed, value: 'yes' }] },
      { ...base, observations: [{ ...observed, side: 'machine' as const }] },
      { ...base, views: [{ view: 'lap-4ch' as const, clipId: 'é', judged: 'received' as const, why: null }] },
    ];
    expect(new Set([base, ...others].map(inputHashOf)).size).toBe(others.length + 1);
  });
});

describe('numbersHashOf', () => {
  const base = caseOf({ measure: { lvidd: 33 }, observe: { fever: 'no' } });
  it('stays the same when a clip comes, its view is judged, or somebody wants it sooner', () => {
    const view = { view: 'lap-4ch' as const, clipId: 'c', judged: 'adequate' as const, why: null };
    expect(numbersHashOf({ ...base, views: [view] })).toBe(numbersHashOf(base));
    expect(numbersHashOf({ ...base, urgencyAsked: 'urgent' })).toBe(numbersHashOf(base));
  });

  it('changes with a number, an answer, the weight, the plan and the state at scan', () => {
    const [measured] = base.measurements;
    const [observed] = base.observations;
    if (!measured || !observed) throw new Error('the case lost its rows');
    const others = [
      { ...base, measurements: [{ ...measured, value: 33.1 }] },
      { ...base, observations: [{ ...observed, value: 'yes' }] },
      { ...base, patient: { ...base.patient, weight: { kg: 7.5, guessed: true } } },
      { ...base, plan: 'collapse' as const },
      { ...base, state: { ...base.state, hydration: 'dry' as const } },
    ];
    expect(new Set([base, ...others].map(numbersHashOf)).size).toBe(others.length + 1);
  });
});
