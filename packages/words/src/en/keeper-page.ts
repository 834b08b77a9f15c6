import type { Species } from '@chordae/contract';
import { sayDay } from './printed-page';

export interface KeeperStart {
  readonly patientName: string;
  readonly species: Species;
  readonly recheckOn: string | null;
}

/** Stands in the text until somebody has read it and taken it out. */
export const TO_BE_CHECKED = '[To be checked by the vet before it is released]';

/**
 * A text to begin the keeper's page with: what to watch, counting sleeping breaths, when to come back. It rests on nothing
 * in the case but the name, the species and the recheck: no diagnosis, no dose, no number of the heart. The bound of 30
 * breaths a minute, asleep, for dogs and cats is common practice, without a source; other species get none. A horse is not
 * counted asleep, and its breathing is told by nostrils and effort (common practice, without a source).
 */
export function startKeeperPage(start: KeeperStart): string {
  const { patientName: name, species } = start;
  const lines = [
    TO_BE_CHECKED,
    '',
    `${name}'s heart was looked at with ultrasound. Your vet will go through the result with you.`,
    '',
    ...(species === 'horse' ? [] : countBreaths(name, species)),
    'Call at once, day or night, when you see one of these:',
    species === 'horse'
      ? '- nostrils flared, or breathing with effort, while at rest (common practice)'
      : '- breathing with effort, or with an open mouth while at rest',
    '- gums that are blue, grey or white',
    '- fainting or collapse',
    ...(species === 'cat'
      ? ['- a leg that is suddenly weak, cold or painful']
      : ['- a belly that swells over a few days']),
    ...(species === 'horse' ? ['', `Ask your vet before ${name} is ridden or driven.`] : []),
    '',
    `Give medicines only as your vet has told you, and ask before you stop one.`,
    '',
    start.recheckOn
      ? `Come back on or about ${sayDay(start.recheckOn)} for the heart to be looked at again.`
      : 'Ask your vet when the heart should be looked at again.',
  ];
  return lines.join('\n');
}

/** Counting breaths asleep, with the empty line after it. */
function countBreaths(name: string, species: Species): string[] {
  return [
    `Count ${name}'s breaths once a day, asleep and at rest:`,
    '- One breath is the chest going up and down once.',
    '- Count for one minute, and write down the number and the day.',
    species === 'dog' || species === 'cat'
      ? '- Under 30 a minute is usual for a sleeping dog or cat (common practice). 30 or more, counted twice, or clearly more than on the days before: call the practice the same day.'
      : '- Ask your vet which number is usual. Clearly more than on the days before: call the practice the same day.',
    '',
  ];
}
