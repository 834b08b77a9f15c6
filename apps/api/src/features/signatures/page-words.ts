import type { FlagAnswer, Interpretation, ScanPlanId, SourceRef } from '@chordae/contract';
import type { OpinionDocument, PageWords } from '@chordae/report';
import {
  indexNames,
  planNames,
  sayChecks,
  sayFlag,
  sayIndex,
  saySource,
  speciesNames,
  structureNames,
} from '@chordae/words';

/** Day and time in UTC, said so: a printed page travels between zones. */
function moment(iso: string): string {
  return `${iso.slice(0, 10)} ${iso.slice(11, 16)} UTC`;
}

function patientLine({ patient: p }: OpinionDocument): string {
  const parts = [
    `${p.name} (number ${p.number})`,
    speciesNames[p.species] ?? p.species,
    p.breedText,
    p.sex === 'unknown' ? 'sex not given' : `${p.sex}${p.neutered ? ', neutered' : ''}`,
    p.ageMonths === null ? 'age not given' : formatAge(p.ageMonths),
    p.weightKg === null ? 'weight not given' : `${p.weightKg} kg${p.weightGuessed ? ' (guessed)' : ''}`,
    p.chip ? `chip ${p.chip}` : '',
  ];
  return parts.filter((t) => t !== '').join(', ');
}

/** Animals' ages as vets write them: months in the first two years, then years. */
function formatAge(months: number): string {
  return months < 24 ? `${months} months old` : `${Math.floor(months / 12)} years old`;
}

export const pageWords: PageWords & { checks(interpretation: Interpretation | null): string } = {
  structureName: (s) => structureNames[s] ?? s,
  indexLabel: (index) => `${indexNames[index.code]?.short ?? index.code}: ${sayIndex(index).value}`,
  indexSentence: (index) => sayIndex(index).sentence,
  levelName: (level) => ({ 'act-now': 'Act now', look: 'Look', note: 'Note' })[level] ?? level,
  patientLine,
  moment,
  planName: (plan) => planNames[plan as ScanPlanId] ?? plan,
  checks: (interpretation) =>
    interpretation ? sayChecks(interpretation.flags.length, interpretation.checks) : 'Nothing was computed.',
};

/** The computed flags as sentences, each with what the reader made of it. */
export function sayFlagsFor(
  document: OpinionDocument,
  interpretation: Interpretation | null,
  phone: string | null,
) {
  const answers = new Map(document.flags.map((f) => [f.key, f]));
  return (interpretation?.flags ?? []).map((flag) => ({
    level: flag.level,
    sentence: sayFlag(flag, { phone }).sentence,
    answer: sayAnswer(answers.get(flag.key)),
  }));
}

function sayAnswer(answer: (Pick<FlagAnswer, 'reason'> & { answer: string }) | undefined): string {
  if (!answer || answer.answer === 'unanswered') return 'The reader did not comment on it.';
  return answer.answer === 'kept' ? 'Kept by the reader.' : `Set aside by the reader: ${answer.reason}`;
}

/** Every source once, in the order of first use. */
export function sourcesOf(interpretation: Interpretation | null): string[] {
  const all: SourceRef[] = [
    ...(interpretation?.indices ?? []).flatMap((i) => i.limits.map((l) => l.source)),
    ...(interpretation?.flags ?? []).flatMap((f) => f.sources),
  ];
  return [...new Set(all.map(saySource))].slice(0, 12);
}
