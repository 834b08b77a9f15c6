import type { AccountKind, AccountLine } from '@chordae/contract';

export const accountKindNames: Record<AccountKind, { one: string; many: string }> = {
  scan: { one: 'scan', many: 'scans' },
  rescan: { one: 'rescan', many: 'rescans' },
  report: { one: 'scan report', many: 'scan reports' },
  referral: { one: 'referral', many: 'referrals' },
};

/** '3 scans, 1 scan report'; what is none is left out, and nothing at all is said. */
export function sayCounts(counts: Readonly<Record<AccountKind, number>>): string {
  const said = (['scan', 'rescan', 'report', 'referral'] as const)
    .filter((kind) => counts[kind] > 0)
    .map(
      (kind) =>
        `${counts[kind]} ${counts[kind] === 1 ? accountKindNames[kind].one : accountKindNames[kind].many}`,
    );
  return said.length === 0 ? 'nothing counted' : said.join(', ');
}

/** What the counting rests on; stands on the page and on the paper. */
export const COUNTING_RULES: readonly string[] = [
  'Each line stands in the month of its scan, by the calendar of the practice; a scan report and a referral stand with the first scan of their case.',
  'The first scan of a case is a scan, each further one a rescan.',
  'A scan report counts once, for who signed it; addenda are not counted. A referral counts for who scanned, from when it is sent.',
  'What was withdrawn is listed and not counted. A scan whose scan report is signed counts all the same.',
  'What was entered, signed or sent after the month had ended is marked: an account read before then did not have it.',
];

/** Why a line deserves a second look; empty for most. */
export function sayAccountNote(line: Pick<AccountLine, 'counted' | 'afterMonth' | 'kind'>): string {
  const notes = [];
  if (!line.counted) notes.push('withdrawn, not counted');
  if (line.afterMonth)
    notes.push(
      line.kind === 'report'
        ? 'signed after the month'
        : line.kind === 'referral'
          ? 'sent after the month'
          : 'entered after the month',
    );
  return notes.join('; ');
}

/** Heads of the columns as they stand in a file and on paper. */
export const accountColumns = {
  practice: 'Practice',
  day: 'Day of the scan',
  doneOn: 'Entered, signed or sent on',
  patient: 'Patient',
  patientNumber: 'Patient number',
  caseNumber: 'Case number',
  what: 'What',
  question: 'Question',
  person: 'Person',
  counted: 'Counted',
  amount: 'Amount',
  currency: 'Currency',
  note: 'Note',
} as const;

const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

/** '2026-11' as 'November 2026'. */
export function sayMonth(month: string): string {
  const [year, number] = month.split('-');
  return `${MONTHS[Number(number) - 1] ?? month} ${year}`;
}

/** An amount in hundredths as people read it. `sayAmount(123450, 'EUR')` is 'EUR 1,234.50'. */
export function sayAmount(hundredths: number, currency: string): string {
  const whole = String(Math.floor(hundredths / 100)).replace(/\B(?=(\d{3})+$)/g, ',');
  return `${currency} ${whole}.${String(hundredths % 100).padStart(2, '0')}`;
}
