import type { WorkingClip } from '../../picture/working';
import { cavityNumbers } from './cavity-numbers';
import { findSpaces } from './find-spaces';
import type { FoundSpace } from './read-map';

/** The left ventricle's cavity in a short axis as the learned finder sees it, working pixels. */
export interface FoundCavity {
  readonly diastole: FoundSpace;
  readonly systole: FoundSpace | null;
  readonly rightVentricle: FoundSpace | null;
}

/** Null where the finder sees no cavity. */
export function findCavity(clip: WorkingClip): FoundCavity | null {
  const [diastole, systole, rightVentricle] = findSpaces(clip, cavityNumbers);
  return diastole ? { diastole, systole: systole ?? null, rightVentricle: rightVentricle ?? null } : null;
}
