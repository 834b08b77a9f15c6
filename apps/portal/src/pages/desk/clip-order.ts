import type { ClipRecord, ScanPlanId, ViewId } from '@chordae/contract';
import { viewsOf } from '@chordae/interpretation';

type Orderable = Pick<ClipRecord, 'id' | 'view' | 'number'> & {
  readonly description: { readonly kind: string };
};

/**
 * Clips as the desk opens them: the views that the scan plan needs, each once, in its order; then those that help, then
 * other named views and repeats, then what has no name, moving before still. Equal ones keep their numbers' order.
 */
export function openingOrder<C extends Orderable>(clips: readonly C[], plan: ScanPlanId): C[] {
  const planned = [...viewsOf(plan)].sort((a, b) => Number(b.need === 'must') - Number(a.need === 'must'));
  const place = new Map<ViewId, number>(planned.map((v, at) => [v.view, at]));
  const seen = new Set<ViewId>();
  const still = (c: C) => (c.description.kind === 'still' ? 1 : 0);
  const inTurn = [...clips].sort((a, b) => still(a) - still(b) || a.number - b.number);
  const rank = new Map<string, number>();
  for (const clip of inTurn) {
    if (clip.view === null) rank.set(clip.id, 3000 + still(clip));
    else {
      const again = seen.has(clip.view) ? 1000 : 0;
      rank.set(clip.id, again + (place.get(clip.view) ?? 500));
      seen.add(clip.view);
    }
  }
  return inTurn.sort((a, b) => (rank.get(a.id) ?? 0) - (rank.get(b.id) ?? 0));
}
