import { expect, it } from 'vitest';
import { isMonth, monthBeside, readPrice } from './months';

it('goes over the turn of the year and back', () => {
  expect(monthBeside('2026-12', 1)).toBe('2027-01');
  expect(monthBeside('2027-01', -1)).toBe('2026-12');
  expect(monthBeside('2026-05', -17)).toBe('2024-12');
});

it('knows a month', () => {
  expect(['2026-01', '2026-13', '2026-1', 'now'].map(isMonth)).toEqual([true, false, false, false]);
});

it('reads a price with a point or a comma, and nothing that could mean two amounts', () => {
  expect(['85', '85.5', ' 85,50 ', '0', ''].map(readPrice)).toEqual([8500, 8550, 8550, 0, 'none']);
  expect(['1,250', '1.250,00', '85.505', '-1', 'x', '1234567'].map(readPrice)).toEqual([
    null,
    null,
    null,
    null,
    null,
    null,
  ]);
});
