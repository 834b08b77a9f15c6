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

/** Questions that are asked of one kind of animal only. */
const onlyOf: Partial<Record<ScanPlanId, BodyKind>> = {
  'cat-before-anaesthesia': 'cat',
  'small-dog-murmur': 'dog',
  'large-dog-muscle': 'dog',
  horse: 'horse',
};

/** The questions of a kind of animal; the horse has views of its own, so only the horse's. */
export function plansFor(kind: BodyKind): readonly ScanPlanId[] {
  return scanPlans.map((plan) => plan.id).filter((id) => kindOf(id, kind) === kind);
}

/** The animal that a question's card shows, where another was asked for. */
export function kindOf(plan: ScanPlanId, asked: BodyKind): BodyKind {
  return onlyOf[plan] ?? (asked === 'horse' ? 'dog' : asked);
}

/** Where the set of views is taken from. */
export function sourceOf(kind: BodyKind): string {
  return kind === 'horse'
    ? 'Views after Long, Bonagura and Darke 1992 (from memory); the how-to is common practice.'
    : 'Views after Thomas et al. 1993; the how-to is common practice.';
}

export function isPlan(text: string): text is ScanPlanId {
  return scanPlans.some((plan) => plan.id === text);
}
