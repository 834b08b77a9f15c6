import type { CaseFacts } from './case-facts';
import { above, below } from './compare';
import type { Caution } from './indices';
import { referenceSizeFor } from './limits/apply-limit';
import type { Reading } from './readings';

/** The plain size behind a weight-normalised one, for a set of limits that has an exponent of its own. */
const PLAIN: Readonly<Record<string, string>> = { lviddn: 'lvidd', lvidsn: 'lvids' };

/**
 * Another published set for the same size (Esser 2020, 6,097 dogs, 2.5th to 97.5th centile), each by its own exponent: said
 * where it puts this size elsewhere than the set that grades.
 */
export function alternativeSetSays(
  facts: CaseFacts,
  index: string,
  size: Reading | undefined,
  position: 'below' | 'within' | 'above',
): Caution[] {
  const plain = PLAIN[index];
  if (plain === undefined || size === undefined || facts.kg === null || facts.species !== 'dog') return [];
  const other = referenceSizeFor(facts, plain, 'esser2020');
  if (!other) return [];
  const there = below(size.value, other.lower)
    ? 'below'
    : above(size.value, other.upper)
      ? 'above'
      : 'within';
  if (there === position) return [];
  return [
    {
      code: 'OTHER_LIMITS_DISAGREE',
      data: {
        measurement: size.code,
        valueMm: size.value,
        lowerMm: other.lower,
        upperMm: other.upper,
        there,
      },
    },
  ];
}
