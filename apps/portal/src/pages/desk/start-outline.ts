import type { CaseView } from '@chordae/contract';
import { call } from '../../host/api';
import { outlineOf, type StageClip } from './stage-clip';
import type { Measuring } from './use-measuring';

/** Points of an outline stored as x and y in turn. */
function pointsFrom(flat: readonly number[]): { x: number; y: number }[] {
  const points: { x: number; y: number }[] = [];
  for (let n = 0; n + 1 < flat.length; n += 2)
    points.push({ x: flat[n] as number, y: flat[n + 1] as number });
  return points;
}

/** Begins correcting the outline of a frame: with what a person said, else with what the pictures gave, else with nothing. */
export async function startOutline(
  c: CaseView,
  at: StageClip,
  frame: number,
  measuring: Measuring,
): Promise<void> {
  const begin = (points: readonly { x: number; y: number }[] | null) => {
    if (!points || points.length < 8) return measuring.begin('cavity');
    return measuring.begin('cavity', undefined, {
      clipId: at.id,
      frame,
      points,
      axis: null,
      axisByHand: false,
      done: true,
    });
  };
  const said = outlineOf(c, at.id, frame);
  if (said || !at.clip?.assessment?.shortAxis) return begin(said);
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id, clipId: at.id };
  const seen = await call('clipAssessment', { params }).catch(() => null);
  const flat = seen?.shortAxis?.outlines[frame];
  return begin(flat ? pointsFrom(flat) : null);
}
