import type { Flag } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { answered, answerIds, reading } from '../case-facts';
import { above, below } from '../compare';
import { makeFlag } from '../make-flag';
import { ACT_NOW_MEMORY, thresholds } from './thresholds';

/** Heart rate so fast or slow that it is itself the emergency (dog, cat), per minute. */
export function extremeRate(facts: CaseFacts): { rate: number; fast: boolean; ids: string[] } | null {
  const rate = reading(facts, 'heart-rate');
  if (!rate || rate.computedOnly) return null;
  const bounds =
    facts.species === 'dog'
      ? [thresholds.dogRateBelow, thresholds.dogRateAbove]
      : facts.species === 'cat'
        ? [thresholds.catRateBelow, thresholds.catRateAbove]
        : null;
  if (!bounds) return null;
  const fast = above(rate.value, bounds[1] as number);
  return fast || below(rate.value, bounds[0] as number) ? { rate: rate.value, fast, ids: rate.ids } : null;
}

function weakness(facts: CaseFacts): boolean {
  return ['collapse', 'weak-pulses-or-pale', 'fainting'].some(
    (code) => answered(facts, code as 'collapse', 'yes') !== null,
  );
}

/** true when the rhythm rule holds: then no measurement of the scan is graded. */
export function hasExtremeRate(facts: CaseFacts): boolean {
  if (facts.species !== 'dog' && facts.species !== 'cat') return false;
  const wide = answered(facts, 'arrhythmia', 'wide-beats-in-runs') !== null;
  return weakness(facts) && (wide || extremeRate(facts) !== null);
}

/** Dog over 220 or under 40, cat over 280 or under 100 per minute, or runs of wide beats, with weakness. */
export function rhythmRule(facts: CaseFacts): Flag[] {
  if (!hasExtremeRate(facts)) return [];
  const rate = extremeRate(facts);
  return [
    makeFlag({
      rule: 'act-now.rhythm',
      code: 'RHYTHM_WITH_WEAKNESS',
      level: 'act-now',
      urgency: 'emergency',
      data: {
        rate: rate?.rate ?? null,
        fast: rate?.fast ?? false,
        wideBeats: answered(facts, 'arrhythmia', 'wide-beats-in-runs') !== null,
      },
      measurementIds: rate?.ids ?? [],
      observationIds: answerIds(facts, 'collapse', 'weak-pulses-or-pale', 'fainting', 'arrhythmia'),
      sources: [ACT_NOW_MEMORY],
    }),
  ];
}
