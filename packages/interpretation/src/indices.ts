import type { AppliedLimit, IndexResult, WordData } from '@chordae/contract';
import { alternativeSetSays } from './alternative-set';
import type { CaseFacts } from './case-facts';
import { isDoubtfulView, isJuvenile, isOutlyingBreed } from './case-facts';
import { above, below } from './compare';
import type { LimitSet, PatientLimit } from './limits/apply-limit';
import { gradeOn, limitsFor, positionOf } from './limits/apply-limit';
import type { Reading } from './readings';
import type { Shape } from './shape';
import type { IndexKind } from './state-at-scan';
import { stateCautions } from './state-at-scan';

export type Caution = { code: string; data: WordData };

/** What a rule computes; limits, interval, grade and cautions are added by `finishIndex`. */
export interface IndexDraft {
  code: string;
  kind: IndexKind;
  value: number;
  unit: string;
  readings: Reading[];
  /** How the value follows from the readings, in their order. */
  shape: Shape;
  /** Values of the single beats in the index's unit. */
  beats: number[];
  arithmetic: string;
  interval: [number, number] | null;
  /** true when the value was scaled by the body weight. */
  usesWeight: boolean;
  cautions: readonly Caution[];
  /** false: shown, never graded (Teichholz). */
  gradable: boolean;
}

/** An index with the limit that graded it. */
export interface Index extends IndexResult {
  grading: PatientLimit | null;
  shape: Shape;
  readings: Reading[];
}

function addViewCautions(facts: CaseFacts, readings: Reading[], cautions: Caution[]): void {
  for (const { code, view } of readings) {
    if (isDoubtfulView(facts, view))
      cautions.push({ code: 'VIEW_DOUBTFUL', data: { measurement: code, view } });
  }
}

function addWeightCautions(facts: CaseFacts, cautions: Caution[]): void {
  const { weight } = facts.input.patient;
  const { bodyCondition, ascites } = facts.input.state;
  if (weight?.guessed) cautions.push({ code: 'WEIGHT_GUESSED', data: { weightKg: weight.kg } });
  if ((bodyCondition !== null && bodyCondition >= 7) || ascites === 'yes') {
    cautions.push({
      code: 'WEIGHT_NOT_LEAN',
      data: { bodyCondition: bodyCondition ?? null, ascites: ascites === 'yes' },
    });
  }
}

/** Why no limit may grade this index now, or null. */
function notGradedBecause(facts: CaseFacts, draft: IndexDraft, limits: LimitSet): Caution | null {
  if (!draft.gradable) return null;
  if (facts.kg === null && draft.usesWeight) return { code: 'WEIGHT_MISSING', data: { index: draft.code } };
  if (limits.all.length === 0) return { code: 'LIMIT_NOT_AVAILABLE', data: { index: draft.code } };
  if (isJuvenile(facts) && draft.kind !== 'gradient') {
    return { code: 'ADULT_LIMITS_NOT_APPLIED', data: { ageMonths: facts.input.patient.ageMonths } };
  }
  if (limits.grading !== null) return null;
  if (isOutlyingBreed(facts)) {
    return { code: 'BREED_OUTSIDE_GENERAL_LIMITS', data: { breed: facts.breed?.code ?? '' } };
  }
  return { code: 'COMPARISON_ONLY', data: { index: draft.code } };
}

/** 'within-error' when the interval reaches over a bound of the grading limit. */
function closenessOf(
  limit: AppliedLimit,
  interval: [number, number] | null,
): 'clear' | 'within-error' | null {
  if (interval === null) return null;
  const { lower, upper } = limit;
  if (lower === null && upper === null) return null;
  const near =
    (lower !== null && reachesOver(interval, lower)) || (upper !== null && reachesOver(interval, upper));
  return near ? 'within-error' : 'clear';
}

/** true when an interval holds a bound. */
export function reachesOver(interval: readonly [number, number], bound: number): boolean {
  return !above(interval[0], bound) && !below(interval[1], bound);
}

function addQualifierCautions(
  facts: CaseFacts,
  draft: IndexDraft,
  graded: PatientLimit | null,
  cautions: Caution[],
): void {
  const from = graded?.entry.gradeFrom;
  if (from !== undefined && below(draft.value, from)) {
    cautions.push({ code: 'GRADE_STARTS_HIGHER', data: { from, unit: draft.unit } });
  }
  if (graded === null) return;
  const { patient } = facts.input;
  if (patient.ageMonths === null && draft.kind !== 'gradient')
    cautions.push({ code: 'AGE_NOT_KNOWN', data: {} });
  if (facts.species === 'dog' && facts.breed === null && graded.entry.scope === 'general-dog') {
    cautions.push({ code: 'BREED_NOT_KNOWN_GENERAL_LIMITS', data: { breedText: patient.breedText } });
  }
  if (graded.entry.status === 'memory' || graded.entry.status === 'common practice') {
    cautions.push({
      code: 'LIMIT_FROM_MEMORY',
      data: { limit: graded.entry.id, status: graded.entry.status },
    });
  }
}

/** Ids of the measurements behind an index, reading by reading. */
function idsOf(readings: readonly Reading[]): string[] {
  const [first] = readings;
  if (readings.length === 1 && first) return first.ids;
  const ids: string[] = [];
  for (const r of readings) for (const id of r.ids) ids.push(id);
  return ids;
}

const NO_LIMITS: LimitSet = { all: [], applied: [], grading: null };

/** Adds limits, position, closeness, grades and cautions to a computed index. */
export function finishIndex(facts: CaseFacts, draft: IndexDraft): Index {
  const limits = draft.gradable ? limitsFor(facts, draft.code) : NO_LIMITS;
  const state = stateCautions(facts, draft.kind);
  const barred = state.blocks ?? notGradedBecause(facts, draft, limits);
  const grading = barred === null ? limits.grading : null;
  const cautions: Caution[] = barred ? [barred] : [];
  for (const c of draft.cautions) cautions.push(c);
  for (const c of state.cautions) cautions.push(c);
  if (draft.usesWeight) addWeightCautions(facts, cautions);
  addViewCautions(facts, draft.readings, cautions);
  addQualifierCautions(facts, draft, grading, cautions);
  const position = grading ? positionOf(draft.value, grading) : 'not-graded';
  if (position !== 'not-graded')
    for (const c of alternativeSetSays(facts, draft.code, draft.readings[0], position)) cautions.push(c);
  const grades: IndexResult['grades'] = [];
  if (!barred)
    for (const { entry, applied } of limits.all) {
      const code = applied.comparisonOnly ? null : gradeOn(draft.value, entry);
      if (code !== null) grades.push({ scale: entry.scale ?? entry.citation, code, limitId: entry.id });
    }
  return {
    code: draft.code,
    value: draft.value,
    unit: draft.unit,
    interval: draft.interval,
    beats: draft.beats,
    arithmetic: draft.arithmetic,
    measurementIds: idsOf(draft.readings),
    limits: limits.applied,
    position,
    closeness: grading ? closenessOf(grading.applied, draft.interval) : null,
    grades,
    cautions,
    grading,
    shape: draft.shape,
    readings: draft.readings,
  };
}
