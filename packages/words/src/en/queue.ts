import type { Urgency, WordData } from '@chordae/contract';
import { observationNames, urgencyNames } from './names';
import { formatMinutes, listOf } from './numbers';

const REASONS: Record<string, (d: WordData) => string> = {
  CLINICAL_WORDS: (d) =>
    `ticked: ${Array.isArray(d.words) ? listOf(d.words.map((w) => observationNames[w as keyof typeof observationNames] ?? w)) : 'clinical signs'}`,
  ACT_NOW: () => 'an act-now flag stands',
  URGENCY: (d) => urgencyNames[d.urgency as Urgency] ?? String(d.urgency),
  LATE: (d) => `late by ${formatMinutes(Number(d.minutes))}`,
  DUE: (d) => `due in ${formatMinutes(Number(d.minutes))}`,
  NO_TARGET: () => 'no target time agreed',
  WAITING: (d) => `waiting ${formatMinutes(Number(d.minutes))}`,
};

/** Queue reason codes that have words. */
export const queueCodesInWords: readonly string[] = Object.keys(REASONS);

/** One reason for a place in the queue. */
export function sayQueueReason(reason: { code: string; data: WordData }): string {
  return REASONS[reason.code]?.(reason.data) ?? reason.code;
}

/** All reasons in one line: 'ticked: collapsed; emergency; due in 22 min; waiting 8 min'. */
export function sayQueuePlace(reasons: readonly { code: string; data: WordData }[]): string {
  return reasons.map(sayQueueReason).join('; ');
}

/** What raised an urgency, in a few words. */
const URGENT: Record<string, string> = {
  BREATHLESS_STOP_SCANNING: 'breathlessness',
  COLLAPSE_TREAT_CIRCULATION: 'collapse, weak pulses or pale gums',
  TAMPONADE_POSSIBLE: 'possible tamponade',
  TORN_ATRIUM_POSSIBLE: 'a possible torn atrium',
  CAT_PERICARDIAL_FLUID: 'fluid round the heart of a cat',
  ORGAN_IN_SAC_NO_NEEDLE: 'a suspected organ in the pericardial sac',
  PLEURAL_FLUID_WITH_EFFORT: 'fluid round the lungs with effort',
  FITS_LEFT_HEART_FAILURE: 'signs that fit left heart failure',
  LEFT_HEART_FAILURE_LESS_LIKELY: 'distress with B-lines',
  LUNG_NOT_SLIDING: 'a lung that does not slide',
  THROMBOEMBOLISM_POSSIBLE: 'possible thrombo-embolism',
  CLOT_OR_SMOKE_IN_ATRIUM: 'clot or smoke in the left atrium',
  CAT_VERY_LARGE_ATRIUM: 'a very large left atrium',
  RIGHT_HEART_PRESSURE_LOAD: 'pressure load of the right heart',
  CAVAL_SYNDROME_POSSIBLE: 'possible caval syndrome',
  RHYTHM_WITH_WEAKNESS: 'rhythm with weakness',
  OPEN_DUCT_POSSIBLE: 'a possible open duct',
  STENOSIS_WITH_FAINTING: 'a steep gradient with fainting',
  ENDOCARDITIS_POSSIBLE: 'possible endocarditis',
  HORSE_NOT_RIDDEN: 'the safety of the rider',
  AORTIC_GRADIENT_GRADED: 'a severe aortic gradient',
  PULMONIC_GRADIENT_GRADED: 'a severe pulmonic gradient',
  TRICUSPID_GRADIENT_GRADED: 'a severe tricuspid gradient',
  CAT_LA_IN_FAILURE_RANGE: 'a left atrium in the failure range',
  CAT_FITS_DILATED_PHENOTYPE: 'a dilated phenotype',
  DOG_FITS_DILATED_PHENOTYPE: 'a dilated phenotype',
};

/** Why an urgency was proposed, by the codes of `urgencyBecause`. */
export function sayUrgency(urgency: Urgency, because: readonly string[]): string {
  const reasons = because.filter((code) => code !== 'NO_RULE_RAISED_IT');
  if (reasons.length === 0) return 'Routine: no rule raised it. That is not an all-clear.';
  const text = reasons.map((code) => URGENT[code] ?? code.toLowerCase().replace(/_/g, ' '));
  return `${urgencyNames[urgency].charAt(0).toUpperCase()}${urgencyNames[urgency].slice(1)}, because of: ${listOf(text)}.`;
}
