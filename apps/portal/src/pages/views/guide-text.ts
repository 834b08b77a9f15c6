import type { ScanPlanId, Species, ViewId } from '@chordae/contract';
import type { BodyKind } from '@chordae/figure';
import { quantityCodes, scanPlans, viewsFor, viewsOf } from '@chordae/interpretation';
import { measurementNames, planNames } from '@chordae/words';

export const KINDS: readonly (readonly [BodyKind, string])[] = [
  ['dog', 'Dog'],
  ['cat', 'Cat'],
  ['horse', 'Horse'],
];

/** The body that is drawn for a species. */
export function bodyOf(species: Species | null, view?: ViewId): BodyKind {
  if (view?.startsWith('eq-') || species === 'horse') return 'horse';
  return species === 'dog' || species === null ? 'dog' : 'cat';
}

/** Short and full name of each quantity that belongs to a view. */
export function measuredOn(view: ViewId): { readonly short: string; readonly full: string }[] {
  return quantityCodes.filter((code) => viewsFor(code).includes(view)).map((code) => measurementNames[code]);
}

/** Questions for which a view is needed or helps. */
export function plansWith(view: ViewId): { readonly needed: string[]; readonly helps: string[] } {
  const plans = (need: 'must' | 'helps') =>
    scanPlans
      .filter((plan) => viewsOf(plan.id).some((v) => v.view === view && v.need === need))
      .map((plan) => planNames[plan.id]);
  return { needed: plans('must'), helps: plans('helps') };
}

export function isPlan(text: string): text is ScanPlanId {
  return scanPlans.some((plan) => plan.id === text);
}
