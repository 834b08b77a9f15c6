import type { Agreement, Urgency } from '@chordae/contract';

const MINUTE = 60_000;

/** Wall clock of a zone at a moment: weekday 1 (Monday) to 7, minutes since midnight, and the zone's offset in minutes. */
export function wallClock(
  at: Date,
  zone: string,
): { weekday: number; minutes: number; offsetMinutes: number } {
  const parts = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hourCycle: 'h23',
    weekday: 'short',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  }).formatToParts(at);
  const get = (type: string) => parts.find((p) => p.type === type)?.value ?? '';
  const weekday = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'].indexOf(get('weekday')) + 1;
  const local = Date.UTC(
    Number(get('year')),
    Number(get('month')) - 1,
    Number(get('day')),
    Number(get('hour')),
    Number(get('minute')),
    Number(get('second')),
  );
  const offsetMinutes = Math.round((local - Math.floor(at.getTime() / 1000) * 1000) / MINUTE);
  return { weekday, minutes: Number(get('hour')) * 60 + Number(get('minute')), offsetMinutes };
}

const toMinutes = (text: string) => Number(text.slice(0, 2)) * 60 + Number(text.slice(3, 5));

/** Is somebody reading at this moment, by the agreement's opening hours. */
export function isOpen(agreement: Pick<Agreement, 'zone' | 'openingHours'>, at: Date): boolean {
  const { weekday, minutes } = wallClock(at, agreement.zone);
  return agreement.openingHours.some(
    (h) => h.weekday === weekday && minutes >= toMinutes(h.from) && minutes < toMinutes(h.to),
  );
}

/** Next moment at which the group opens, at or after `at`; null when no opening hours are agreed. */
export function nextOpening(agreement: Pick<Agreement, 'zone' | 'openingHours'>, at: Date): Date | null {
  if (isOpen(agreement, at)) return at;
  const here = wallClock(at, agreement.zone);
  let best: number | null = null;
  for (const hours of agreement.openingHours) {
    const ahead = (hours.weekday - here.weekday + 7) % 7;
    let wait = ahead * 1440 + toMinutes(hours.from) - here.minutes;
    if (wait <= 0) wait += 7 * 1440;
    best = best === null ? wait : Math.min(best, wait);
  }
  if (best === null) return null;
  const naive = new Date(Math.floor(at.getTime() / MINUTE) * MINUTE + best * MINUTE);
  // The zone's offset may change in between (summer time): correct by the difference.
  const shift = here.offsetMinutes - wallClock(naive, agreement.zone).offsetMinutes;
  return new Date(naive.getTime() + shift * MINUTE);
}

/** When an answer is due: an emergency's clock runs at once, others' from the next opening. */
export function dueTime(agreement: Agreement, urgency: Urgency, sentAt: Date): Date {
  const minutes = agreement.targetMinutes[urgency];
  const from = urgency === 'emergency' ? sentAt : (nextOpening(agreement, sentAt) ?? sentAt);
  return new Date(from.getTime() + minutes * MINUTE);
}
