import type { Flag, IndexResult, InterpretationInput } from '@chordae/contract';
import { interpret } from './interpret';

/** The full way back from a flag: everything that a vet needs to redo it on paper. */
export interface Trace {
  flag: Flag;
  engine: { version: string; limitsHash: string };
  measurements: InterpretationInput['measurements'];
  observations: InterpretationInput['observations'];
  weightKg: number | null;
  indices: { index: IndexResult; limits: IndexResult['limits'] }[];
  /** One line per index, arithmetic with its numbers. */
  lines: string[];
}

/** The way back from one flag of a case, or null when the case has no such flag. `key` as in the flag. */
export function traceOf(input: InterpretationInput, key: string): Trace | null {
  const result = interpret(input);
  const flag = result.flags.find((f) => f.key === key);
  if (!flag) return null;
  const { measurementIds, observationIds, indexCodes, limitIds } = flag.evidence;
  const indices = result.indices
    .filter((i) => indexCodes.includes(i.code))
    .map((index) => ({ index, limits: index.limits.filter((l) => limitIds.includes(l.id)) }));
  return {
    flag,
    engine: result.engine,
    measurements: input.measurements.filter((m) => measurementIds.includes(m.id)),
    observations: input.observations.filter((o) => observationIds.includes(o.id)),
    weightKg: input.patient.weight?.kg ?? null,
    indices,
    lines: indices.map(({ index }) => index.arithmetic),
  };
}
