import { type ReadPair, type Structure, type StructureFinding, structures } from '@chordae/contract';
import { measurementCv, smallestChange } from '@chordae/interpretation';

/** Whether two readers said the same about one thing; 'one-spoke' where only one of them said anything. */
export type Agreement = 'same' | 'differs' | 'one-spoke' | 'neither';

export interface ComparedValue {
  readonly code: ReadPair['values'][number]['code'];
  readonly unit: string;
  readonly first: number;
  readonly second: number;
  /** More apart than measuring error explains (2.77 × CV of their mean); null where no CV is known. */
  readonly beyondError: boolean | null;
}

export interface ReadAgreement {
  readonly stage: Agreement;
  readonly urgency: Agreement;
  readonly structures: readonly (readonly [Structure, Agreement])[];
  readonly values: readonly ComparedValue[];
}

/** Texts are not compared by machine: two readers agree on a structure when both described it, or both could not see it. */
function ofStructures(a: StructureFinding | undefined, b: StructureFinding | undefined): Agreement {
  const [first, second] = [a?.state ?? 'not-assessed', b?.state ?? 'not-assessed'];
  if (first === 'not-assessed' && second === 'not-assessed') return 'neither';
  if (first === 'not-assessed' || second === 'not-assessed') return 'one-spoke';
  return first === second ? 'same' : 'differs';
}

const ofWords = (a: string, b: string): Agreement => {
  const [first, second] = [a.trim().toLowerCase(), b.trim().toLowerCase()];
  if (first === '' && second === '') return 'neither';
  if (first === '' || second === '') return 'one-spoke';
  return first === second ? 'same' : 'differs';
};

/** Where two readers of one referral agree and where not. Example: stages 'B2' and 'b2' are the same. */
export function compareReads(pair: ReadPair): ReadAgreement {
  const values = pair.values.flatMap((own): ComparedValue[] => {
    const other = pair.second.values[own.code];
    if (!other || other.unit !== own.unit) return [];
    const cv = measurementCv(pair.species, own.code);
    const mean = (own.value + other.value) / 2;
    const beyondError = cv === null ? null : Math.abs(own.value - other.value) > smallestChange(mean, cv);
    return [{ code: own.code, unit: own.unit, first: own.value, second: other.value, beyondError }];
  });
  return {
    stage: ofWords(pair.first.stage, pair.second.stage),
    urgency: ofWords(pair.urgency ?? '', pair.second.urgency ?? ''),
    structures: structures.map(
      (s) => [s, ofStructures(pair.first.findings[s], pair.second.findings[s])] as const,
    ),
    values,
  };
}

/** Share with its 95 % interval by Wilson's score (Wilson EB, J Am Stat Assoc 1927;22:209-212). Example: 8 of 10 is 0.8, from 0.49 to 0.94. */
export function shareOf(
  hits: number,
  of: number,
): { readonly share: number; readonly low: number; readonly high: number } | null {
  if (of <= 0) return null;
  const z = 1.96;
  const p = hits / of;
  const centre = p + (z * z) / (2 * of);
  const half = z * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of));
  const by = 1 + (z * z) / of;
  return { share: p, low: (centre - half) / by, high: (centre + half) / by };
}
