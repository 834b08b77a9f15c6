import type { WordData } from '@chordae/contract';
import { hasExtremeRate } from './act-now/rhythm';
import type { CaseFacts } from './case-facts';
import { answered } from './case-facts';

/** What an index is about: decides which states of the animal forbid or weaken its grade. */
export type IndexKind =
  | 'size'
  | 'wall'
  | 'atrium'
  | 'function'
  | 'gradient'
  | 'inflow'
  | 'radiograph'
  | 'companion';

export interface StateCautions {
  /** Reason why nothing of this kind is graded, or null. */
  blocks: { code: string; data: WordData } | null;
  cautions: { code: string; data: WordData }[];
}

function hasArrhythmia(facts: CaseFacts): boolean {
  const { rhythm } = facts.input.state;
  return (
    rhythm === 'atrial-fibrillation' ||
    rhythm === 'other-arrhythmia' ||
    answered(facts, 'arrhythmia', 'yes', 'wide-beats-in-runs') !== null
  );
}

/** Function is not graded after an alpha-2 sedative (Johard 2018), with a flat septum or an arrhythmia. */
function functionBlock(facts: CaseFacts): { code: string; data: WordData } | null {
  if (facts.input.state.sedative === 'alpha-2') return { code: 'FUNCTION_NOT_GRADED_ALPHA2', data: {} };
  if (answered(facts, 'septum-flat', 'yes')) return { code: 'FUNCTION_NOT_GRADED_FLAT_SEPTUM', data: {} };
  if (hasArrhythmia(facts)) return { code: 'FUNCTION_NOT_GRADED_ARRHYTHMIA', data: {} };
  return null;
}

function sedationCautions(facts: CaseFacts, kind: IndexKind): { code: string; data: WordData }[] {
  const { sedative } = facts.input.state;
  if (kind === 'radiograph' || kind === 'companion') return [];
  if (sedative === null || sedative === 'unknown') {
    return kind === 'function' || kind === 'gradient' ? [{ code: 'SEDATION_NOT_STATED', data: {} }] : [];
  }
  if (sedative === 'none') return [];
  if (kind === 'gradient') return [{ code: 'GRADIENT_READS_LOW_SEDATED', data: { sedative } }];
  if (kind === 'function')
    return sedative === 'alpha-2' ? [] : [{ code: 'SEDATED_FUNCTION', data: { sedative } }];
  if (sedative === 'alpha-2') return [{ code: 'SEDATED_SIZES', data: { sedative } }];
  return [];
}

/** Cautions and bars that the state at scan puts on an index of this kind. */
export function stateCautions(facts: CaseFacts, kind: IndexKind): StateCautions {
  let found = facts.stateByKind.get(kind);
  if (!found) {
    found = cautionsOfState(facts, kind);
    facts.stateByKind.set(kind, found);
  }
  return found;
}

function cautionsOfState(facts: CaseFacts, kind: IndexKind): StateCautions {
  const { state, patient, plan } = facts.input;
  const cautions = sedationCautions(facts, kind);
  if (state.hydration === 'dry' && (kind === 'size' || kind === 'wall' || kind === 'atrium')) {
    cautions.push({ code: 'DRY_PATIENT', data: { kind } });
  }
  if (state.diuretic24h === 'yes' && kind === 'atrium')
    cautions.push({ code: 'DIURETIC_SHRINKS_ATRIUM', data: {} });
  if (kind === 'function' && facts.species === 'dog') {
    const murmur = answered(facts, 'murmur-grade', '1', '2', '3', '4', '5', '6');
    if (plan === 'small-dog-murmur' || murmur) cautions.push({ code: 'FUNCTION_IN_MITRAL_LEAK', data: {} });
  }
  if (kind === 'gradient') {
    cautions.push({ code: 'GRADIENT_NEEDS_ALIGNMENT', data: {} });
    if (patient.ageMonths !== null && patient.ageMonths < 12) {
      cautions.push({ code: 'GRADIENT_RISES_WHILE_GROWING', data: { ageMonths: patient.ageMonths } });
    }
  }
  let blocks = kind === 'function' ? functionBlock(facts) : null;
  if (blocks === null && kind !== 'radiograph' && kind !== 'companion' && hasExtremeRate(facts)) {
    blocks = { code: 'NOT_GRADED_EXTREME_RATE', data: {} };
  }
  return { blocks, cautions };
}
