import { formatMinutes } from '@chordae/words';
import { useEffect, useState } from 'react';

const CLOCK = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' });
const DAY = new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short' });
const FULL = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeStyle: 'short' });

/** '14:05' today, 'Mon 23 Nov, 14:05' before, with the year when it is another. */
export function sayMoment(iso: string, now: Date = new Date()): string {
  const at = new Date(iso);
  const clock = CLOCK.format(at);
  if (at.toDateString() === now.toDateString()) return clock;
  const year = at.getFullYear() === now.getFullYear() ? '' : ` ${at.getFullYear()}`;
  return `${DAY.format(at)}${year}, ${clock}`;
}

export function Time({ at }: { at: string }) {
  return (
    <time dateTime={at} title={FULL.format(new Date(at))}>
      {sayMoment(at)}
    </time>
  );
}

/** Minutes from now to then; negative when past. */
export function minutesUntil(iso: string, nowMs: number): number {
  return Math.round((new Date(iso).getTime() - nowMs) / 60_000);
}

export function sayDue(iso: string, nowMs: number): string {
  const minutes = minutesUntil(iso, nowMs);
  return minutes < 0 ? `late by ${formatMinutes(-minutes)}` : `due in ${formatMinutes(minutes)}`;
}

/** The time now, renewed each half minute. */
export function useNow(): number {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), 30_000);
    return () => clearInterval(timer);
  }, []);
  return now;
}

/** '2026-11-25' as '25 November 2026'. */
export function sayDay(day: string): string {
  return new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeZone: 'UTC' }).format(
    new Date(`${day}T00:00:00Z`),
  );
}

/** Today as a calendar day where the reader is. */
export function today(now: Date = new Date()): string {
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
