import type { Flag, IndexResult, Interpretation, InterpretationInput } from '@chordae/contract';
import { actNowFlags } from './act-now/act-now';
import type { CaseFacts } from './case-facts';
import { factsOf } from './case-facts';
import { checksOf } from './checks';
import { ENGINE_VERSION } from './engine-version';
import { inputHashOf } from './hash/input-hash';
import type { Index } from './indices';
import { limitsHash } from './limits/limits-data';
import { missingOf } from './missing';
import { completenessOf } from './plans/completeness';
import { indicesOf } from './recipes/index';
import { conclusionFlags, stagesOf } from './rules/conclusions';
import { contradictionFlags } from './rules/contradictions';
import type { Found } from './rules/outside-limits';
import { proposedUrgency, urgencyRank } from './urgency';

const LEVEL = { 'act-now': 0, look: 1, note: 2 } as const;

/** Act-now first, then by urgency; a sender's tick with a finding outranks a finding alone; else the rules' own order. */
function inOrder(flags: Flag[]): Flag[] {
  const rank = (f: Flag): number =>
    LEVEL[f.level] * 100 +
    urgencyRank[f.urgency ?? 'routine'] * 10 +
    (f.evidence.observationIds.length > 0 ? 0 : 1);
  return flags
    .map((flag, at) => ({ flag, at, rank: rank(flag) }))
    .sort((a, b) => a.rank - b.rank || a.at - b.at)
    .map(({ flag }) => flag);
}

/** An index as it is handed out: without what only the rules need. */
function plainIndex(index: Index): IndexResult {
  return {
    code: index.code,
    value: index.value,
    unit: index.unit,
    interval: index.interval,
    beats: index.beats,
    arithmetic: index.arithmetic,
    measurementIds: index.measurementIds,
    limits: index.limits,
    position: index.position,
    closeness: index.closeness,
    grades: index.grades,
    cautions: index.cautions,
  };
}

/** What is concluded from a case, without what only its record needs (hash, completeness, checks). */
export interface Judged {
  facts: CaseFacts;
  indices: Index[];
  flags: Flag[];
  stages: Interpretation['stages'];
  urgencyProposed: Interpretation['urgencyProposed'];
  urgencyBecause: string[];
}

/** Indices, flags, stages and urgency of a case. */
export function judge(input: InterpretationInput): Judged {
  const facts = factsOf(input);
  // Before the indices: what contradicts itself is set aside.
  const contradictions = contradictionFlags(facts);
  const indices = indicesOf(facts);
  const found: Found = new Map(indices.map((i) => [i.code, i]));
  const flags = inOrder([...actNowFlags(facts), ...contradictions, ...conclusionFlags(facts, found)]);
  const { urgency, because } = proposedUrgency(flags);
  const stages = stagesOf(facts, found);
  return { facts, indices, flags, stages, urgencyProposed: urgency, urgencyBecause: because };
}

/**
 * What measurements, ticks, views and state at scan say about this patient, each number with its limit, source and
 * doubt. Pure: the same input gives the same answer everywhere. Never throws for clinical input.
 */
export function interpret(input: InterpretationInput): Interpretation {
  const { facts, indices, flags, stages, urgencyProposed, urgencyBecause } = judge(input);
  const checks = checksOf(facts);
  return {
    schema: 2,
    engine: { version: ENGINE_VERSION, limitsHash },
    inputHash: inputHashOf(input),
    indices: indices.map(plainIndex),
    flags,
    urgencyProposed,
    urgencyBecause,
    stages,
    completeness: completenessOf(facts, checks),
    checks: { ran: checks.ran, of: checks.of, notAssessed: checks.notAssessed },
    missing: missingOf(facts),
  };
}
