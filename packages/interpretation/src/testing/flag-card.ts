import type { Flag } from '@chordae/contract';
import { interpret } from '../interpret';
import type { CaseParts } from './case-builder';
import { caseOf } from './case-builder';

/** A flag as a test reads it: what it says, on what it rests, who said so. */
export interface FlagCard {
  rule: string;
  key: string;
  level: Flag['level'];
  urgency: Flag['urgency'];
  data: Flag['data'];
  /** Ids of the measurements and observations without their 'm-' and 'o-'. */
  measured: string[];
  observed: string[];
  indices: string[];
  limits: string[];
  sources: Flag['sources'];
}

const bare = (id: string): string => id.replace(/^[mo]-/, '');

/** The card of one flag of an invented case, or undefined when the flag is not raised. */
export function flagCard(parts: CaseParts, code: string): FlagCard | undefined {
  const flag = interpret(caseOf(parts)).flags.find((f) => f.code === code);
  return flag && cardOf(flag);
}

/** A flag's card. */
export function cardOf(flag: Flag): FlagCard {
  return {
    rule: flag.rule.id,
    key: flag.key,
    level: flag.level,
    urgency: flag.urgency,
    data: flag.data,
    measured: flag.evidence.measurementIds.map(bare),
    observed: flag.evidence.observationIds.map(bare),
    indices: flag.evidence.indexCodes,
    limits: flag.evidence.limitIds,
    sources: flag.sources,
  };
}

/** Codes of the flags of an invented case, in their order. */
export function flagCodes(parts: CaseParts): string[] {
  return interpret(caseOf(parts)).flags.map((f) => f.code);
}
