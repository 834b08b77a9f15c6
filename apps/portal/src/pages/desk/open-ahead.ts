import type { CaseView } from '@chordae/contract';
import { openAhead } from '../../host/clips/clips-ahead';
import { openingOrder } from './clip-order';
import { stageClip } from './stage-clip';

/** How many clips stand side by side when a case is opened. */
export const FIRST_TILES = 4;

/** Begins to fetch the clips that the desk will open with: the case is known, its page not yet drawn. */
export function openClipsAhead(c: CaseView): void {
  if (c.side !== 'group') return;
  const first = openingOrder(c.clips, c.referral.plan).slice(0, FIRST_TILES);
  openAhead(first.flatMap((clip) => stageClip(c, clip).packUrl ?? []));
}
