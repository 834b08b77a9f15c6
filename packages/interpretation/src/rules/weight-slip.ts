import type { Flag } from '@chordae/contract';
import { KG_PER_LB } from '@chordae/units';
import type { CaseFacts } from '../case-facts';
import { isJuvenile, isOutlyingBreed, reading } from '../case-facts';
import { referenceSizeFor, referenceSizeMm } from '../limits/apply-limit';
import { makeFlag } from '../make-flag';

/** Ventricle and aorta, of which a disease seldom makes both too small or both too large. */
const SIZES = [
  { code: 'lvidd', index: 'lvidd' },
  { code: 'ao-sax', index: 'ao-m-mode' },
] as const;

/** -1 below, 0 inside, 1 above the limits that a weight lets expect; null where nothing was measured. */
function place(facts: CaseFacts, kg: number, size: (typeof SIZES)[number]): number | null {
  const measured = reading(facts, size.code);
  const limits =
    kg === facts.kg ? referenceSizeFor(facts, size.index) : referenceSizeMm('dog', size.index, kg);
  if (!measured || !limits) return null;
  return measured.value < limits.lower ? -1 : measured.value > limits.upper ? 1 : 0;
}

/**
 * Dog: ventricle and aorta both too small for the weight and both right for the same number in lb (or the other way
 * round): the unit of the weight is asked for. Proposed, never applied.
 */
export function weightSlipFlags(facts: CaseFacts): Flag[] {
  const { kg } = facts;
  if (facts.species !== 'dog' || kg === null || isJuvenile(facts) || isOutlyingBreed(facts)) return [];
  const now = SIZES.map((s) => place(facts, kg, s));
  const side = now[0];
  if ((side !== -1 && side !== 1) || now[1] !== side) return [];
  const likelyKg = side === -1 ? kg * KG_PER_LB : kg / KG_PER_LB;
  if (!SIZES.every((s) => place(facts, likelyKg, s) === 0)) return [];
  return [
    makeFlag({
      rule: 'check.weight-unit',
      code: 'WEIGHT_UNIT_SLIP_POSSIBLE',
      level: 'look',
      data: { weightKg: kg, likelyKg, small: side === -1 },
      measurementIds: SIZES.flatMap((s) => reading(facts, s.code)?.ids ?? []),
    }),
  ];
}
