import type { Agreement, Role } from '@chordae/contract';
import { formatMinutes } from './numbers';

export const roleNames: Record<Role, string> = {
  'referring-vet': 'referring vet',
  sonographer: 'sonographer',
  manager: 'manager',
  cardiologist: 'cardiologist',
  lead: 'lead of the readers',
};

export const NO_MANAGER_LEFT =
  'This is the only manager: the practice would have nobody to look after its people. Make somebody else a manager first.';
export const ZONE_UNKNOWN =
  'zone: this time zone is not known. Write it as in the IANA list, such as Europe/Dublin.';

/** What ending a membership does, before it is done. */
export function sayEnding(name: string): readonly string[] {
  return [
    `From the next click on, nothing of this practice opens for ${name}: no patient, no case, no account.`,
    'What they scanned, wrote and signed stays with the practice, under their name.',
    'Work that lies unsent on their own device can be handed over by them for 60 days, and is looked through here before it counts.',
    'It cannot be taken back here: coming again is a new membership.',
  ];
}

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];

/** 'Mon to Fri 08:00 to 18:00; Sat 09:00 to 12:00'. Days with equal hours stand together. */
export function sayOpeningHours(hours: Agreement['openingHours']): string {
  const byHours = new Map<string, number[]>();
  for (const h of [...hours].sort((a, b) => a.weekday - b.weekday)) {
    const key = `${h.from} to ${h.to}`;
    byHours.set(key, [...(byHours.get(key) ?? []), h.weekday]);
  }
  if (byHours.size === 0) return 'no opening hours are agreed';
  return [...byHours].map(([key, days]) => `${sayDays(days)} ${key}`).join('; ');
}

function sayDays(days: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const day of days) {
    const last = runs.at(-1);
    if (last && last[1] === day - 1) last[1] = day;
    else runs.push([day, day]);
  }
  const name = (day: number) => WEEKDAYS[day - 1] ?? String(day);
  return runs
    .map(([from, to]) =>
      from === to ? name(from) : `${name(from)} ${to === from + 1 ? 'and' : 'to'} ${name(to)}`,
    )
    .join(', ');
}

/** 'an emergency within 1 h, an urgent one within 8 h, a routine one within 2 days'. */
export function sayTargets(targets: Agreement['targetMinutes']): string {
  const said = (
    [
      ['emergency', 'an emergency'],
      ['urgent', 'an urgent one'],
      ['routine', 'a routine one'],
    ] as const
  ).flatMap(([key, words]) => {
    const minutes = targets[key];
    return minutes === undefined ? [] : [`${words} within ${formatMinutes(minutes)}`];
  });
  return said.length === 0 ? 'no targets are agreed' : said.join(', ');
}
