import type { Urgency, WordData } from '@chordae/contract';
import { urgencyRank } from '../urgency';

/** What decides a referral's place. Times are milliseconds since 1970 UTC of the server's clock. */
export interface QueueItem {
  /** true when an act-now flag stands that no reader has set aside. */
  actNow: boolean;
  /** The higher of asked and proposed urgency. */
  urgency: Urgency;
  /** When an answer is due; null where no target was agreed. */
  dueAtMs: number | null;
  sentAtMs: number;
  nowMs: number;
  /** Observation codes of clinical words that were ticked: collapse, blue gums, cold limb, paralysis. */
  clinicalWords: readonly string[];
}

export interface QueueReason {
  code: 'CLINICAL_WORDS' | 'ACT_NOW' | 'URGENCY' | 'LATE' | 'DUE' | 'NO_TARGET' | 'WAITING';
  data: WordData;
}

/** Ticks that outrank numbers in the queue. */
export const CLINICAL_WORDS = [
  'scanning-stopped',
  'open-mouth-breathing',
  'blue-gums',
  'cannot-lie',
  'collapse',
  'weak-pulses-or-pale',
  'cold-painful-limb',
  'sudden-paralysis',
] as const;

/**
 * The place in the queue as a list of numbers, compared one after the other, smaller first: clinical words, act-now,
 * urgency, due time, sending time. No weights, and no clock: a late case is simply one whose due time is smallest.
 */
export function orderKey(item: QueueItem): [number, number, number, number, number] {
  const time = (ms: number | null): number =>
    ms === null || !Number.isFinite(ms) ? Number.MAX_SAFE_INTEGER : ms;
  return [
    item.clinicalWords.length > 0 ? 0 : 1,
    item.actNow ? 0 : 1,
    urgencyRank[item.urgency] ?? 2,
    time(item.dueAtMs),
    time(item.sentAtMs),
  ];
}

/** Comparator for a queue: negative when `a` comes first. */
export function queueOrder(a: QueueItem, b: QueueItem): number {
  const keyA = orderKey(a);
  const keyB = orderKey(b);
  for (let i = 0; i < keyA.length; i += 1) {
    const difference = (keyA[i] as number) - (keyB[i] as number);
    if (difference !== 0) return difference;
  }
  return 0;
}

/** Why a referral stands where it stands, in the order in which it was compared. */
export function queueReasons(item: QueueItem): QueueReason[] {
  const minutes = (ms: number): number => Math.max(0, Math.floor(ms / 60_000));
  const reasons: QueueReason[] = [];
  if (item.clinicalWords.length > 0) {
    reasons.push({ code: 'CLINICAL_WORDS', data: { words: [...item.clinicalWords] } });
  }
  if (item.actNow) reasons.push({ code: 'ACT_NOW', data: {} });
  reasons.push({ code: 'URGENCY', data: { urgency: item.urgency } });
  if (item.dueAtMs === null || !Number.isFinite(item.dueAtMs)) reasons.push({ code: 'NO_TARGET', data: {} });
  else if (item.dueAtMs < item.nowMs) {
    reasons.push({ code: 'LATE', data: { minutes: minutes(item.nowMs - item.dueAtMs) } });
  } else reasons.push({ code: 'DUE', data: { minutes: minutes(item.dueAtMs - item.nowMs) } });
  reasons.push({ code: 'WAITING', data: { minutes: minutes(item.nowMs - item.sentAtMs) } });
  return reasons;
}
