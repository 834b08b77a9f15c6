import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';

const of = (parts: CaseParts) => interpret(caseOf(parts));
const flag = (parts: CaseParts, code: string) => of(parts).flags.find((f) => f.code === code);

describe('contradictions', () => {
  it('computes nothing from a systole that is not smaller than the diastole', () => {
    const r = of({ measure: { lvidd: 20, lvids: 20 } });
    expect(r.flags.map((f) => f.code)).toContain('LVIDS_NOT_BELOW_LVIDD');
    expect(r.indices.map((i) => i.code)).toEqual([]);
  });

  it('proposes cm for a diameter typed as mm, and applies nothing', () => {
    const r = flag({ measure: { lvidd: 3.32 } }, 'IMPOSSIBLE_FOR_WEIGHT');
    expect(r?.data.likelyMm).toBeCloseTo(33.2);
    expect(of({ measure: { lvidd: 3.32 } }).indices).toEqual([]);
  });

  it('proposes a tenth for a diameter that is ten times too large', () => {
    expect(flag({ kg: 30, measure: { lvidd: 382 } }, 'VALUE_IMPOSSIBLE')?.data.likely).toBeCloseTo(38.2);
    expect(flag({ kg: 3, measure: { lvidd: 190 } }, 'IMPOSSIBLE_FOR_WEIGHT')?.data.likelyMm).toBeCloseTo(19);
  });

  it('leaves severe disease alone', () => {
    // LVIDDN of 3.0: far dilated, and real.
    expect(
      flag({ breed: 'doberman', kg: 36, measure: { lvidd: 86, lvids: 80 } }, 'IMPOSSIBLE_FOR_WEIGHT'),
    ).toBeUndefined();
    expect(
      flag({ species: 'cat', measure: { lvids: 1.2, lvidd: 10 } }, 'IMPOSSIBLE_FOR_WEIGHT'),
    ).toBeUndefined();
  });

  it('cannot judge a size by weight without a weight', () => {
    // 8 cm in diastole is dilated in any dog (common practice); without a weight it is 'not assessable'.
    const r = of({ kg: null, measure: { lvidd: 80 } });
    expect(r.flags.map((f) => f.code)).not.toContain('LV_LARGE_DIASTOLE');
    expect(r.indices[0]).toMatchObject({ code: 'lvidd', position: 'not-graded' });
    expect(of({ kg: 40, measure: { lvidd: 80 } }).flags.map((f) => f.code)).toContain('LV_LARGE_DIASTOLE');
  });

  it('proposes lb for a cat of 22 kg', () => {
    expect(flag({ species: 'cat', kg: 22 }, 'WEIGHT_UNUSUAL')?.data.likelyKg).toBeCloseTo(9.979, 3);
  });

  it('asks for the unit of the weight when ventricle and aorta are both small for it and right for lb', () => {
    // A dog of 8 kg whose 17.6 lb were typed as kg: at 17.6 kg the limits are 29.5 to 43 mm and 16.8 to 25.5 mm.
    const typed = flag({ kg: 17.6, measure: { lvidd: 27, 'ao-sax': 15 } }, 'WEIGHT_UNIT_SLIP_POSSIBLE');
    expect(typed?.data.likelyKg).toBeCloseTo(7.98, 2);
    expect(
      flag({ kg: 8, measure: { lvidd: 27, 'ao-sax': 15 } }, 'WEIGHT_UNIT_SLIP_POSSIBLE'),
    ).toBeUndefined();
    expect(
      flag({ kg: 17.6, measure: { lvidd: 27, 'ao-sax': 20 } }, 'WEIGHT_UNIT_SLIP_POSSIBLE'),
    ).toBeUndefined();
  });

  it('proposes m/s for a velocity typed in cm/s', () => {
    expect(flag({ measure: { 'ao-vmax': 240 } }, 'VALUE_IMPOSSIBLE')?.data.likely).toBe(2.4);
  });

  it('questions LA:Ao outside 0.6 to 5', () => {
    expect(flag({ kg: 30, measure: { 'la-sax': 12, 'ao-sax': 24 } }, 'LA_AO_IMPLAUSIBLE')?.data.ratio).toBe(
      0.5,
    );
  });

  it('refuses a value in the unit of another quantity', () => {
    const input = caseOf({ measure: { lvidd: 33 } });
    const first = input.measurements[0];
    if (first) first.unit = 'm/s';
    const r = interpret(input);
    expect(r.flags.map((f) => f.code)).toContain('UNIT_WRONG_FOR_QUANTITY');
    expect(r.indices).toEqual([]);
  });
});
