import { describe, expect, it } from 'vitest';
import { clockTime, isoDate } from './machine';
import { decodeText, personName } from './text';

const hex = (text: string): Uint8Array =>
  Uint8Array.from(text.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));

describe('text of a file', () => {
  // PS3.5 annex H and I: the standard's own names.
  it('reads the examples of the standard', () => {
    const korean = hex('486f6e675e47696c646f6e673d1b2429431bfbf35e1b2429431bd1cec0d4d7').slice(0, 13);
    expect(decodeText(korean, '\\ISO 2022 IR 149')).toBe('Hong^Gildong=');
    expect(decodeText(hex('1b242943fbf3'), '\\ISO 2022 IR 149')).toBe('洪');
    expect(
      decodeText(hex('1b2442 3b33451b2842'.replaceAll(' ', '')), '\\ISO 2022 IR 87').startsWith('山'),
    ).toBe(true);
    expect(decodeText(hex('c46e656173'), 'ISO_IR 100')).toBe('Äneas');
    expect(decodeText(hex('bbee'), 'ISO_IR 144')).toBe('Лю');
    expect(decodeText(hex('e78e8b'), 'ISO_IR 192')).toBe('王');
  });

  // PS3.5 H.3.1 and H.3.2 (Japanese), I.2 (Korean), K.2 (Chinese): the bytes that the annexes print.
  it.each([
    [
      'H.3.1',
      '\\ISO 2022 IR 87',
      '59616d6164615e5461726f753d1b24423b3345441b28425e1b244242404f3a1b28423d1b24422464245e24401b28425e1b2442243f246d24261b2842',
      'Yamada^Tarou=山田^太郎=やまだ^たろう',
    ],
    [
      'H.3.2',
      'ISO 2022 IR 13\\ISO 2022 IR 87',
      'd4cfc0de5ec0dbb33d1b24423b3345441b284a5e1b244242404f3a1b284a3d1b24422464245e24401b284a5e1b2442243f246d24261b284a',
      'ﾔﾏﾀﾞ^ﾀﾛｳ=山田^太郎=やまだ^たろう',
    ],
    [
      'I.2',
      '\\ISO 2022 IR 149',
      '486f6e675e47696c646f6e673d1b242943fbf35e1b242943d1ced4d73d1b242943c8ab5e1b242943b1e6b5bf',
      'Hong^Gildong=洪^吉洞=홍^길동',
    ],
    [
      'K.2',
      '\\ISO 2022 IR 58',
      '5a68616e675e5869616f446f6e673d1b242941d5c55e1b242941d0a1b6ab3d',
      'Zhang^XiaoDong=张^小东=',
    ],
  ])('reads the name of PS3.5 %s', (_example, set, bytes, wanted) => {
    expect(decodeText(hex(bytes), set)).toBe(wanted);
  });

  it('reads Latin, Cyrillic and Greek letters within one value, and the first set again after a delimiter', () => {
    const sets = 'ISO 2022 IR 100\\ISO 2022 IR 144\\ISO 2022 IR 126';
    // PS3.3 C.12.1.1.2: ESC 2D 4C is ISO 8859-5, ESC 2D 46 is ISO 8859-7.
    expect(decodeText(hex('c46e1b2d4cbbee1b2d46c1e25ee4'), sets)).toBe('ÄnЛюΑβ^ä');
    expect(decodeText(hex('c46e1b2d4cbbee0d0ac46e'), sets)).toBe('ÄnЛюÄn');
  });

  it('reads JIS X 0212 letters, and leaves out an escape sequence that it does not know', () => {
    // JIS X 0212 row 16, cell 2 (30 22) is U+4E04.
    expect(decodeText(hex('1b242844 3022 1b2842 41'.replaceAll(' ', '')), '\\ISO 2022 IR 159')).toBe('丄A');
    expect(decodeText(hex('411b2d5a42'), '\\ISO 2022 IR 144')).toBe('AB');
  });

  it('does not lose letters when no character set is declared', () => {
    expect(decodeText(hex('c3a4'), '')).toBe('ä');
    expect(decodeText(hex('e4'), '')).toBe('ä');
  });

  it('reads a name aloud', () => {
    expect(personName('Winter^Hazel^^Dr')).toBe('Winter Hazel Dr');
    expect(personName('=山田^太郎')).toBe('山田 太郎');
    expect(personName('^^')).toBe('');
  });

  it('takes only dates and times of the calendar', () => {
    expect([isoDate('20240229'), isoDate('2023.02.28'), isoDate('20230229'), isoDate('20231301')]).toEqual([
      '2024-02-29',
      '2023-02-28',
      null,
      null,
    ]);
    expect([clockTime('104259.12'), clockTime('10:42'), clockTime('2561')]).toEqual([
      '10:42:59',
      '10:42:00',
      null,
    ]);
  });
});
