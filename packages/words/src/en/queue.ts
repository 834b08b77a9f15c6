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

/** Why an urgency was proposed, by the codes of `urgencyBecause`. */
export function sayUrgency(urgency: Urgency, because: readonly string[]): string {
  const reasons = because.filter((code) => code !== 'NO_RULE_RAISED_IT');
  if (reasons.length === 0) return 'Routine: no rule raised it. That is not an all-clear.';
  const text = reasons.map((code) => code.toLowerCase().replace(/_/g, ' '));
  return `${urgencyNames[urgency].charAt(0).toUpperCase()}${urgencyNames[urgency].slice(1)}, because of: ${listOf(text)}.`;
}
