import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseQuantity } from './parse-quantity';
import { parseWeight } from './parse-weight';

describe('parseQuantity', () => {
  it.each([
    ['3,82 cm', null, 38.2],
    ['3.82cm', null, 38.2],
    ['38.2', 'mm', 38.2],
    ['38.2', 'cm', 382],
    [' 38,2 MM ', null, 38.2],
    ['.9 cm', null, 9],
    ['３８．２ mm', null, 38.2],
  ])('reads %j (field %s) as %d mm', (text, field, value) => {
    const parsed = parseQuantity(text, 'wall-max-d', field);
    if (value > 80) expect(parsed).toMatchObject({ ok: false, code: 'VALUE_IMPOSSIBLE' });
    else expect(parsed).toMatchObject({ ok: true, value, unit: 'mm' });
  });

  it('never guesses the unit of a bare number', () => {
    expect(parseQuantity('38.2', 'lvidd', null)).toMatchObject({ ok: false, code: 'UNIT_MISSING' });
    expect(parseQuantity('1,9', 'vhs', null)).toMatchObject({ ok: false, code: 'VALUE_IMPOSSIBLE' });
    expect(parseQuantity('10,9', 'vhs', null)).toMatchObject({ ok: true, value: 10.9, unit: 'ratio' });
  });

  it.each(['', 'about 3', '3,8,2 cm', '1.234,5 mm', '🐕', '12 🐕 mm', 'NaN', 'Infinity', '1e5', '3-4 mm'])(
    'does not read %j',
    (text) => {
      const parsed = parseQuantity(text, 'lvidd', 'mm');
      expect(parsed.ok).toBe(false);
    },
  );

  it('names a negative number, a zero and a wrong unit by their codes', () => {
    expect(parseQuantity('-3 mm', 'lvidd', null)).toMatchObject({ code: 'VALUE_IMPOSSIBLE' });
    expect(parseQuantity('0 mm', 'lvidd', null)).toMatchObject({ code: 'VALUE_IMPOSSIBLE' });
    expect(parseQuantity('3 kg', 'lvidd', null)).toMatchObject({ code: 'UNIT_WRONG_FOR_QUANTITY' });
    expect(parseQuantity('240 cm/s', 'ao-vmax', null)).toMatchObject({ ok: true, value: 2.4, unit: 'm/s' });
    expect(parseQuantity('120 bpm', 'heart-rate', null)).toMatchObject({ ok: true, value: 120 });
  });

  it('reads blood values in their own units and takes none for another', () => {
    expect(parseQuantity('31,5', 't4', 'nmol/l')).toMatchObject({ value: 31.5, asTyped: '31,5 nmol/l' });
    expect(parseQuantity('2.4 µg/dl', 't4', 'nmol/l')).toMatchObject({ code: 'UNIT_WRONG_FOR_QUANTITY' });
    expect(parseQuantity('118 µmol/l', 'creatinine', null)).toMatchObject({ value: 118, unit: 'umol/l' });
    expect(parseQuantity('0.118 mmol/l', 'creatinine', null)).toMatchObject({ value: 118 });
    expect(parseQuantity('1.3 mg/dl', 'creatinine', null)).toMatchObject({ code: 'UNIT_WRONG_FOR_QUANTITY' });
    expect(parseQuantity('1.3', 'creatinine', 'umol/l')).toMatchObject({ code: 'VALUE_IMPOSSIBLE' });
    expect(parseQuantity('42', 'potassium', 'mmol/l')).toMatchObject({ code: 'VALUE_IMPOSSIBLE' });
    expect(parseQuantity('0.37', 'packed-cell-volume', '%')).toMatchObject({ code: 'VALUE_IMPOSSIBLE' });
  });

  it('keeps what was typed, with the unit of the field', () => {
    expect(parseQuantity('38,2', 'lvidd', 'mm')).toMatchObject({ asTyped: '38,2 mm' });
  });

  it('reads any number alike in cm and mm, with point and comma', () => {
    fc.assert(
      fc.property(fc.integer({ min: 100, max: 19999 }), (hundredthsOfMm) => {
        const mm = (hundredthsOfMm / 100).toFixed(2);
        const cm = (hundredthsOfMm / 1000).toFixed(3);
        const a = parseQuantity(`${mm} mm`, 'lvidd', null);
        const b = parseQuantity(`${cm.replace('.', ',')} cm`, 'lvidd', null);
        expect(a.ok && b.ok && a.value === b.value).toBe(true);
      }),
    );
  });

  it('answers any text without throwing', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(typeof parseQuantity(text, 'lvidd', 'mm').ok).toBe('boolean');
        expect(typeof parseWeight(text, 'kg').ok).toBe('boolean');
      }),
      { numRuns: 500 },
    );
  });
});

describe('parseWeight', () => {
  it('reads kg, g and lb and refuses a bare number without a field unit', () => {
    expect(parseWeight('7,4 kg', null)).toMatchObject({ ok: true, kg: 7.4 });
    expect(parseWeight('640 g', null)).toMatchObject({ ok: true, kg: 0.64 });
    // 12.4 lb × 0.45359237 kg (international pound, 1959)
    expect(parseWeight('12,4 lb', null)).toMatchObject({
      ok: true,
      kg: 12.4 * 0.45359237,
      asTyped: '12,4 lb',
    });
    expect(parseWeight('12.4', 'lb')).toMatchObject({ ok: true, asTyped: '12.4 lb' });
    expect(parseWeight('12.4', null)).toMatchObject({ ok: false, code: 'UNIT_MISSING' });
    expect(parseWeight('3000 kg', null)).toMatchObject({ ok: false, code: 'VALUE_IMPOSSIBLE' });
    expect(parseWeight('0', 'kg')).toMatchObject({ ok: false, code: 'VALUE_IMPOSSIBLE' });
  });
});
