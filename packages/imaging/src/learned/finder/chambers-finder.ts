import type { WorkingClip } from '../../picture/working';
import { chambersNumbers } from './chambers-numbers';
import { findSpaces } from './find-spaces';
import type { FoundSpace } from './read-map';

/** The chambers of a right parasternal long axis as the learned finder sees them, working pixels. */
export interface FoundChambers {
  /** Left ventricle at its largest and at its smallest. */
  readonly diastole: FoundSpace;
  readonly systole: FoundSpace | null;
  readonly rightVentricle: FoundSpace | null;
  readonly leftAtrium: FoundSpace | null;
}

/** Null where the finder sees no left ventricle. */
export function findChambers(clip: WorkingClip): FoundChambers | null {
  const [diastole, systole, rightVentricle, leftAtrium] = findSpaces(clip, chambersNumbers);
  if (!diastole) return null;
  return {
    diastole,
    systole: systole ?? null,
    rightVentricle: rightVentricle ?? null,
    leftAtrium: leftAtrium ?? null,
  };
}
