import { expect, it } from 'vitest';
import { sayOpeningHours, sayTargets } from './practice-page';

it('puts days of equal hours together', () => {
  const day = (weekday: number, from = '08:00', to = '18:00') => ({ weekday, from, to });
  expect(sayOpeningHours([5, 1, 3, 2, 4].map((d) => day(d)))).toBe('Mon to Fri 08:00 to 18:00');
  expect(sayOpeningHours([day(1), day(2), day(4), day(6, '09:00', '12:00')])).toBe(
    'Mon and Tue, Thu 08:00 to 18:00; Sat 09:00 to 12:00',
  );
  expect(sayOpeningHours([])).toBe('no opening hours are agreed');
});

it('says the targets that there are', () => {
  expect(sayTargets({ emergency: 60, urgent: 480, routine: 2880 })).toBe(
    'an emergency within 1 h, an urgent one within 8 h, a routine one within 2 days',
  );
});
