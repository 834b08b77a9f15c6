import type { AppliedLimit, Flag, FlagLevel, SourceRef, Urgency, WordData } from '@chordae/contract';
import type { Index } from './indices';

/** Source of a rule that is the trade's knowledge and that no paper was found for. */
export const COMMON_PRACTICE: SourceRef = {
  citation: 'Common practice, to be confirmed by a clinician',
  doi: null,
  status: 'common practice',
};

export interface FlagDraft {
  rule: string;
  version?: number;
  code: string;
  level: FlagLevel;
  urgency?: Urgency | null;
  /** What the flag is about, when one rule can speak of several things. */
  subject?: string;
  data: WordData;
  measurementIds?: string[];
  observationIds?: string[];
  /** Indices that carried the rule: their measurements, limits and sources become evidence. */
  indices?: Index[];
  sources?: SourceRef[];
}

/** Makes a flag: evidence and sources are never empty. */
export function makeFlag(draft: FlagDraft): Flag {
  const indices = draft.indices ?? [];
  const limits: AppliedLimit[] = [];
  const measurementIds = new Set(draft.measurementIds);
  for (const { grading, measurementIds: own } of indices) {
    if (grading) limits.push(grading.applied);
    for (const id of own) measurementIds.add(id);
  }
  const sources = draft.sources ?? limits.map((l) => l.source);
  return {
    key: draft.subject === undefined ? draft.rule : `${draft.rule}:${draft.subject}`,
    rule: { id: draft.rule, version: draft.version ?? 1 },
    level: draft.level,
    code: draft.code,
    data: draft.data,
    urgency: draft.urgency ?? null,
    evidence: {
      measurementIds: [...measurementIds],
      observationIds: [...new Set(draft.observationIds)],
      indexCodes: indices.map((i) => i.code),
      limitIds: limits.map((l) => l.id),
    },
    sources: sources.length > 0 ? sources : [COMMON_PRACTICE],
  };
}
