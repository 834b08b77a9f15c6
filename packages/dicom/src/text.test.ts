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
