import type { AssessedLongAxis } from '@chordae/contract';
import type { Plane } from '../picture/plane';
import { centile } from '../picture/plane';
import type { WorkingClip } from '../picture/working';
import type { Chamber } from './chambers';
import { chambersOf } from './chambers';

export const longAxisUnseen: AssessedLongAxis = {
  lengthToWidth: null,
  apexMotion: null,
  foreshortened: 'not-assessable',
  rightToLeftVentricle: null,
  atriumToVentricle: null,
  confidence: 0,
  reasons: ['LONG_AXIS_NOT_FOUND'],
};

/** A ventricle shorter than this many of its widths at end diastole looks cut short (common practice: length about twice the width). */
export const shortLengthToWidth = 1.45;

/**
 * Long axis, four chambers: dark spaces at the given frames of end diastole and end systole. Everything here is a suggestion that a
 * person confirms; only plain shapes are read.
 */
export function assessLongAxis(clip: WorkingClip, endDiastole: number, endSystole: number): AssessedLongAxis {
  const diastole = clip.frames[endDiastole];
  const systole = clip.frames[endSystole];
  if (!diastole || !systole) return longAxisUnseen;
  const large = chambersOf(diastole, clip.mask, levelOf(clip, diastole));
  const ventricle = large.leftVentricle;
  if (!ventricle) return longAxisUnseen;
  const small = chambersOf(systole, clip.mask, levelOf(clip, systole)).leftVentricle;
  const lengthToWidth = ventricle.length / Math.max(1, ventricle.width);
  const apexMotion = small ? apexShift(ventricle, small) : null;
  const reasons: AssessedLongAxis['reasons'] = ['SUGGESTION_TO_CONFIRM'];
  const short = lengthToWidth < shortLengthToWidth;
  const moving = apexMotion !== null && apexMotion > 0.22;
  if (short) reasons.push('VENTRICLE_SHORT_FOR_WIDTH');
  if (moving) reasons.push('APEX_ROUNDED_AND_MOVING');
  return {
    lengthToWidth,
    apexMotion,
    foreshortened: short && moving ? 'suspected' : small ? 'no-sign' : 'not-assessable',
    rightToLeftVentricle: large.rightVentricle ? large.rightVentricle.width / ventricle.width : null,
    atriumToVentricle: large.leftAtrium ? large.leftAtrium.width / ventricle.width : null,
    // Chambers by darkness alone run into one another where the valve stands open, and fluid round the heart is taken for one.
    confidence:
      ventricle.solidity * (small ? 0.5 : 0.3) * (lengthToWidth > 1.1 && lengthToWidth < 2.3 ? 1 : 0.3),
    reasons,
  };
}

function levelOf(clip: WorkingClip, plane: Plane): number {
  const inside: number[] = [];
  for (let n = 0; n < plane.values.length; n += 5)
    if (clip.mask[n] === 1) inside.push(plane.values[n] as number);
  const dark = centile(inside, 0.08);
  return dark + 0.42 * (clip.brightLimit - dark);
}

/** How far the end away from the atrium moves along the axis, part of the length. */
function apexShift(large: Chamber, small: Chamber): number {
  const along = (small.apexX - large.apexX) * large.axisX + (small.apexY - large.apexY) * large.axisY;
  return Math.max(0, Math.abs(along) / large.length);
}
