import type { Agreement } from '@chordae/contract';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { dueTime, isOpen, nextOpening, wallClock } from './due-time';

const weekdays = [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '08:30', to: '17:45' }));
const dublin = { zone: 'Europe/Dublin', openingHours: weekdays };
const agreed = { ...dublin, targetMinutes: { emergency: 45, urgent: 300, routine: 2880 } } as Agreement;
const at = (text: string) => new Date(text);
const MINUTE = 60_000;

const machineZone = process.env['TZ'];
afterAll(() => {
  if (machineZone === undefined) delete process.env['TZ'];
  else process.env['TZ'] = machineZone;
});

// Offsets of the IANA time zone database: Dublin +0/+1, Kathmandu +5:45, Chatham +12:45/+13:45, Lord Howe half an hour of summer time.
describe.each(['UTC', 'America/St_Johns', 'Asia/Kathmandu', 'Pacific/Chatham', 'Australia/Lord_Howe'])(
  'on a machine whose zone is %s',
  (zone) => {
    it('has really taken that zone', () => {
      process.env['TZ'] = zone;
      const offsets: Record<string, number> = {
        UTC: 0,
        'America/St_Johns': 210,
        'Asia/Kathmandu': -345,
        'Pacific/Chatham': -825,
        'Australia/Lord_Howe': -660,
      };
      expect(at('2026-12-01T00:00:00Z').getTimezoneOffset()).toBe(
        offsets[zone] === undefined ? NaN : offsets[zone],
      );
    });

    it('reads the wall clock of the agreement, not of the machine', () => {
      process.env['TZ'] = zone;
      expect(wallClock(at('2026-11-25T23:50:00Z'), 'Asia/Kathmandu')).toEqual({
        weekday: 4,
        minutes: 5 * 60 + 35,
        offsetMinutes: 345,
      });
      expect(wallClock(at('2026-07-01T12:10:00Z'), 'Europe/Dublin')).toEqual({
        weekday: 3,
        minutes: 13 * 60 + 10,
        offsetMinutes: 60,
      });
    });

    it('is open from the first minute to before the last', () => {
      process.env['TZ'] = zone;
      expect(isOpen(dublin, at('2026-11-25T08:29:59Z'))).toBe(false);
      expect(isOpen(dublin, at('2026-11-25T08:30:00Z'))).toBe(true);
      expect(isOpen(dublin, at('2026-11-25T17:44:59Z'))).toBe(true);
      expect(isOpen(dublin, at('2026-11-25T17:45:00Z'))).toBe(false);
      expect(isOpen(dublin, at('2026-11-28T12:00:00Z'))).toBe(false);
    });

    it('opens on Monday by the new clock when summer time begins or ends on Sunday', () => {
      process.env['TZ'] = zone;
      // Summer time 2026 in Ireland: from 29 March 01:00 UTC to 25 October 01:00 UTC.
      expect(nextOpening(dublin, at('2026-03-27T18:00:00Z'))).toEqual(at('2026-03-30T07:30:00Z'));
      expect(nextOpening(dublin, at('2026-10-23T18:00:00Z'))).toEqual(at('2026-10-26T08:30:00Z'));
    });

    it('counts an emergency from its sending and others from the next opening', () => {
      process.env['TZ'] = zone;
      const saturday = at('2026-11-28T12:00:00Z');
      expect(dueTime(agreed, 'emergency', saturday)).toEqual(at('2026-11-28T12:45:00Z'));
      expect(dueTime(agreed, 'urgent', saturday)).toEqual(at('2026-11-30T13:30:00Z'));
      expect(dueTime(agreed, 'urgent', at('2026-11-25T09:10:00Z'))).toEqual(at('2026-11-25T14:10:00Z'));
    });
  },
);

describe('nextOpening', () => {
  it('knows no opening where no hours are agreed, and then counts from the sending', () => {
    const none = { ...agreed, openingHours: [] };
    expect(nextOpening(none, at('2026-11-25T09:00:00Z'))).toBeNull();
    expect(dueTime(none, 'routine', at('2026-11-25T09:00:00Z'))).toEqual(at('2026-11-27T09:00:00Z'));
  });

  it('is the first minute at which the group is open, by a search over the wait', () => {
    const hours = fc.record({
      weekday: fc.integer({ min: 1, max: 7 }),
      // Away from the hours of the night that summer time takes out or doubles: 01:00 to 03:59.
      from: fc.integer({ min: 4 * 60, max: 20 * 60 }),
      length: fc.integer({ min: 1, max: 200 }),
    });
    const clock = (m: number) =>
      `${String(Math.floor(m / 60)).padStart(2, '0')}:${String(m % 60).padStart(2, '0')}`;
    fc.assert(
      fc.property(
        fc.constantFrom('Europe/Dublin', 'America/St_Johns', 'Australia/Lord_Howe', 'Asia/Kathmandu'),
        fc.array(hours, { minLength: 1, maxLength: 3 }),
        // Around both changes of 2026 in Europe and in Australia.
        fc.constantFrom('2026-03-25T00:00:00Z', '2026-10-01T00:00:00Z', '2026-10-21T00:00:00Z'),
        fc.integer({ min: 0, max: 6 * 1440 }),
        (zone, list, start, plus) => {
          const group = {
            zone,
            openingHours: list.map((h) => ({
              weekday: h.weekday,
              from: clock(h.from),
              to: clock(h.from + h.length),
            })),
          };
          const from = new Date(at(start).getTime() + plus * MINUTE);
          const found = nextOpening(group, from);
          if (!found) throw new Error('hours are agreed, so there is an opening');
          expect(isOpen(group, found)).toBe(true);
          expect(found.getTime()).toBeGreaterThanOrEqual(from.getTime());
          // Nothing open before it: the minute before, and steps of 37 minutes over the whole wait.
          expect(
            found.getTime() === from.getTime() || !isOpen(group, new Date(found.getTime() - MINUTE)),
          ).toBe(true);
          for (let t = from.getTime(); t < found.getTime(); t += 37 * MINUTE)
            expect(isOpen(group, new Date(t)), new Date(t).toISOString()).toBe(false);
        },
      ),
      { numRuns: 120 },
    );
  });
});
