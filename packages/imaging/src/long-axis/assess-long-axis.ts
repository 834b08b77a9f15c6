import type { AssessedLongAxis } from '@chordae/contract';
import { findChambers } from '../learned/finder/chambers-finder';
import type { WorkingClip } from '../picture/working';
import { longAxisShape } from './chambers';

export const longAxisUnseen: AssessedLongAxis = {
  lengthToWidth: null,
  apexMotion: null,
  foreshortened: 'not-assessable',
  rightToLeftVentricle: null,
  atriumToVentricle: null,
  confidence: 0,
  reasons: ['LONG_AXIS_NOT_FOUND'],
};

/** Frames from which what moves in a beat can be told. */
const leastFrames = 6;
const mostLongAxisConfidence = 0.5;

/** A ventricle shorter than this many of its widths at end diastole looks cut short (common practice: length about twice the width). */
export const shortLengthToWidth = 1.6;
/** An apex that moves by more than this part of the length looks rounded: the true apex nearly stands still. */
export const movingApex = 0.1;

/**
 * Part of the ventricle's true length that the cut shows, from its two signs. The line was fitted to 240 phantoms of the finder's own
 * training sets (correlation 0.67); 'suspected' lies below `shownBelow` of it.
 */
export function shownLength(lengthToWidth: number, apexMotion: number): number {
  return Math.max(0, Math.min(1, 0.706 + 0.153 * lengthToWidth - 0.698 * apexMotion));
}
export const shownBelow = 0.9;

/** Widths on the finder's maps against those of the hearts they were drawn from: medians of the same 240 phantoms, and of 63 of developing seeds. */
const rightVentricleFactor = 1.16;
const leftAtriumFactor = 1.06;

/** Long axis, four chambers, from the places that the learned finder names. Everything here is a suggestion that a person confirms. */
export function assessLongAxis(clip: WorkingClip): AssessedLongAxis {
  if (clip.frames.length === 0) return longAxisUnseen;
  const found = findChambers(clip);
  const shape = found ? longAxisShape(found) : null;
  if (!found || !shape) return longAxisUnseen;
  const lengthToWidth = shape.length / shape.width;
  const apexMotion = clip.frames.length < leastFrames ? null : shape.apexMotion;
  const reasons: AssessedLongAxis['reasons'] = ['SUGGESTION_TO_CONFIRM'];
  if (lengthToWidth < shortLengthToWidth) reasons.push('VENTRICLE_SHORT_FOR_WIDTH');
  if (apexMotion !== null && apexMotion > movingApex) reasons.push('APEX_ROUNDED_AND_MOVING');
  const suspected = apexMotion !== null && shownLength(lengthToWidth, apexMotion) < shownBelow;
  return {
    lengthToWidth,
    apexMotion,
    foreshortened: apexMotion === null ? 'not-assessable' : suspected ? 'suspected' : 'no-sign',
    rightToLeftVentricle:
      shape.rightVentricle === null ? null : (rightVentricleFactor * shape.rightVentricle) / shape.width,
    atriumToVentricle: shape.atriumByVentricle === null ? null : leftAtriumFactor * shape.atriumByVentricle,
    confidence:
      mostLongAxisConfidence *
      found.diastole.sureness *
      (apexMotion === null ? 0.6 : 1) *
      (lengthToWidth > 1.1 && lengthToWidth < 2.6 ? 1 : 0.3),
    reasons,
  };
}
