import type {
  Flag,
  FlagAnswer,
  IndexResult,
  Interpretation,
  ScanPlanId,
  SourceRef,
  Species,
  Structure,
  ViewId,
} from '@chordae/contract';
import { sayChecks } from './completeness';
import { sayFilmedClips } from './filmed';
import { sayIndex } from './indices';
import { indexNames, planNames, speciesNames, structureNames, viewNames } from './names';
import { sayFlag, saySource } from './say-flag';

const MONTHS = 'January February March April May June July August September October November December'.split(
  ' ',
);

/** A day in words: `sayDay('2026-11-25')` is '25 November 2026'; what is no day stays as it is. */
export function sayDay(isoDay: string): string {
  const [, year, month, day] = /^(\d{4})-(\d\d)-(\d\d)/.exec(isoDay) ?? [];
  const name = MONTHS[Number(month) - 1];
  return name ? `${Number(day)} ${name} ${year}` : isoDay;
}

/** Day and time in UTC, said so: a printed page travels between zones. */
export function sayMomentUtc(iso: string): string {
  return `${sayDay(iso)}, ${iso.slice(11, 16)} UTC`;
}

interface PrintedPatient {
  readonly name: string;
  readonly number: number;
  readonly species: Species;
  readonly breedText: string;
  readonly sex: string;
  readonly neutered: boolean | null;
  readonly ageMonths: number | null;
  readonly weightKg: number | null;
  readonly weightGuessed: boolean;
  readonly chip: string | null;
}

/** The patient in one line, with what was not given said as not given. */
export function sayPrintedPatient(p: PrintedPatient): string {
  const parts = [
    `${p.name} (number ${p.number})`,
    speciesNames[p.species] ?? p.species,
    p.breedText.trim() === '' ? 'breed not given' : p.breedText,
    p.sex === 'unknown' ? 'sex not given' : p.sex,
    p.neutered === null ? 'neutering not given' : p.neutered ? 'neutered' : '',
    p.ageMonths === null ? 'age not given' : sayAge(p.ageMonths),
    p.weightKg === null ? 'weight not given' : `${p.weightKg} kg${p.weightGuessed ? ' (guessed)' : ''}`,
    p.chip ? `chip ${p.chip}` : '',
  ];
  return parts.filter((t) => t !== '').join(', ');
}

/** Animals' ages as vets write them: months in the first two years, then years. */
function sayAge(months: number): string {
  return months < 24 ? `${months} months old` : `${Math.floor(months / 12)} years old`;
}

const LEVELS: Record<string, string> = { 'act-now': 'Act now', look: 'Look', note: 'Note' };

/** The words of a printed opinion, as the page model asks for them. */
export const printedWords = {
  structureName: (s: Structure) => structureNames[s] ?? s,
  indexLabel: (index: IndexResult) => indexNames[index.code]?.short ?? index.code,
  indexValue: (index: IndexResult) => sayIndex(index).value,
  indexSentence: (index: IndexResult) => sayIndex(index).sentence,
  levelName: (level: string) => LEVELS[level] ?? level,
  patientLine: sayPrintedPatient,
  moment: sayMomentUtc,
  day: sayDay,
  planName: (plan: string) => planNames[plan as ScanPlanId] ?? plan,
  viewName: (view: ViewId) => viewNames[view] ?? view,
  filmedClips: sayFilmedClips,
};

/** '2 flags from 6 of 19 checks; not assessed: …', or that nothing was computed. */
export function sayPrintedChecks(interpretation: Interpretation | null): string {
  return interpretation
    ? sayChecks(interpretation.flags.length, interpretation.checks)
    : 'Nothing was computed.';
}

/** The computed flags as sentences, each with what the reader made of it. */
export function sayPrintedFlags(
  flags: readonly Flag[],
  answers: readonly (Pick<FlagAnswer, 'flagKey' | 'reason'> & { readonly answer: string })[],
  phone: string | null,
  /** Whose paper it is: a reader's opinion, or the report of who scanned. */
  whose: 'reader' | 'scanner' = 'reader',
): { level: string; sentence: string; answer: string; setAside: boolean }[] {
  const byKey = new Map(answers.map((a) => [a.flagKey, a]));
  return flags.map((flag) => ({
    level: flag.level,
    sentence: sayFlag(flag, { phone }).sentence,
    answer: sayAnswer(byKey.get(flag.key), whose === 'reader' ? 'the reader' : 'who scanned'),
    setAside: byKey.get(flag.key)?.answer === 'set-aside',
  }));
}

function sayAnswer(
  answer: { readonly answer: string; readonly reason: string } | undefined,
  who: string,
): string {
  if (!answer || answer.answer === 'unanswered')
    return who === 'the reader' ? 'The reader did not comment on it.' : 'Not commented on by who scanned.';
  const why = answer.reason.trim();
  if (answer.answer === 'kept') return `Kept by ${who}.`;
  if (answer.answer === 'passed-up')
    return `Passed up by ${who}: a cardiologist is to be asked.${why === '' ? '' : ` ${why}`}`;
  return `Set aside by ${who}: ${answer.reason}`;
}

const MOST_SOURCES = 12;

/** Every source once, in the order of first use; after twelve it is said how many more there are. */
export function sourcesOf(interpretation: Interpretation | null): string[] {
  const all: SourceRef[] = [
    ...(interpretation?.indices ?? []).flatMap((i) => i.limits.map((l) => l.source)),
    ...(interpretation?.flags ?? []).flatMap((f) => f.sources),
  ];
  const said = [...new Set(all.map(saySource))];
  const more = said.length - MOST_SOURCES;
  return more > 0 ? [...said.slice(0, MOST_SOURCES), `and ${more} more, named in the case`] : said;
}
