import type { AssessedLongAxis, AssessedRoot, AssessedShortAxis, Assessment } from '@chordae/contract';

type SectorCode = Assessment['sector']['reasons'][number];
type RulerCode = Assessment['ruler']['reasons'][number];
type CalibrationCode = Assessment['calibration']['reasons'][number];
type CycleCode = Assessment['cycle']['reasons'][number];
type QualityCode = Assessment['quality'][number]['code'];
type PlaneVerdict = AssessedShortAxis['verdict'];
type PlaneCode = AssessedShortAxis['reasons'][number];
type RootCode = AssessedRoot['reasons'][number];
type LongAxisCode = AssessedLongAxis['reasons'][number];

/** Every reason code of an assessment in one sentence; the compiler keeps the list complete. */
const reasons: Record<
  SectorCode | RulerCode | CalibrationCode | CycleCode | PlaneCode | RootCode | LongAxisCode,
  string
> = {
  SECTOR_NO_PICTURE: 'There is no picture to look at.',
  SECTOR_NOT_FOUND: 'No scanned sector was found in the picture.',
  SECTOR_BORDER_FAINT: 'The border of the sector is faint.',
  SECTOR_CLIPPED: 'Part of the sector lies outside the picture.',
  SECTOR_SINGLE_FRAME: 'Only one frame: what moves could not be used.',
  SECTOR_SPLIT_SCREEN: 'The screen is split; the largest panel was read.',
  RULER_NOT_FOUND: 'No depth marks were found beside the sector.',
  RULER_FEW_TICKS: 'Only few depth marks were found.',
  RULER_SLANTED: 'The depth marks stand at a slant, as when a screen is filmed.',
  RULER_UNIT_UNSURE: 'The distance that one depth mark stands for is uncertain.',
  RULER_UNIT_TO_CONFIRM:
    'A person has to confirm what one depth mark stands for before anything is measured.',
  CALIBRATION_FROM_FILE: 'The scale is the one written in the file.',
  CALIBRATION_NEEDS_PERSON: 'The file has no scale; confirm the depth marks to measure.',
  CALIBRATION_MISSING: 'The file has no scale and no depth marks were found: nothing can be measured in mm.',
  CALIBRATION_DIFFERS_FROM_RULER:
    'The scale in the file does not fit the depth marks in the picture: check it before measuring.',
  CYCLE_FROM_R_WAVES: 'Beats are counted from the R waves in the file.',
  CYCLE_FROM_PICTURES: 'Beats are counted from the movement in the pictures.',
  CYCLE_NOT_FOUND: 'No beat was recognised.',
  CYCLE_LOOP_SHORT: 'The loop is too short to count beats.',
  CYCLE_TIMES_UNKNOWN: 'The file does not say when its frames were taken: no rate is given.',
  CYCLE_FRAMES_REPEATED: 'Frames repeat, so times may be wrong.',
  CYCLE_MOMENTS_NOT_OFFERED: 'End diastole and end systole are not proposed in this view.',
  CAVITY_NOT_FOUND: 'The cavity of the left ventricle was not found.',
  OUTLINE_FAINT: 'The border of the cavity is faint.',
  OTHER_CAVITY_AS_LIKELY: 'Another dark space fits nearly as well.',
  SEPTUM_FLAT: 'The septum looks flat, which makes the cavity oval without any tilt.',
  RIGHT_VENTRICLE_LARGE: 'The right ventricle looks large, which makes the cavity oval without any tilt.',
  WALLS_THICK: 'Thick walls make the outline uncertain.',
  CAVITY_NEARLY_CLOSES: 'The cavity nearly closes in systole, which makes the outline uncertain.',
  PICTURE_TOO_SMALL: 'The cavity is too small in the picture.',
  METHODS_DISAGREE: 'Outline and learned model disagree.',
  OUTLINE_BY_PERSON: 'A person drew or corrected the outline.',
  ROOT_NOT_FOUND: 'The aortic root was not found.',
  ROOT_RING_FAINT: 'The wall of the aortic root is faint.',
  ROOT_MUSCLE_ON_LEFT: 'Muscle stands beside the root on the left of the picture.',
  ROOT_MUSCLE_ON_RIGHT: 'Muscle stands beside the root on the right of the picture.',
  ROOT_PICTURE_TOO_SMALL: 'The aortic root is too small in the picture.',
  LONG_AXIS_NOT_FOUND: 'The chambers were not recognised in this long axis.',
  APEX_ROUNDED_AND_MOVING: 'The apex moves towards the base, as when it is cut off.',
  VENTRICLE_SHORT_FOR_WIDTH: 'The left ventricle looks short for its width.',
  SUGGESTION_TO_CONFIRM: 'Read from dark areas only; look before using it.',
};

const quality: Record<QualityCode, { readonly says: string; readonly tryThis: string }> = {
  GAIN_LOW: { says: 'The picture is dark.', tryThis: 'Turn the gain up a little.' },
  GAIN_HIGH: { says: 'The picture is bright.', tryThis: 'Turn the gain down until blood looks black.' },
  FRAMES_PER_BEAT_LOW: {
    says: 'There are few frames in a beat.',
    tryThis: 'Make the sector narrower or the depth smaller to get more frames.',
  },
  LOOP_SHORT: { says: 'The loop shows no whole beat.', tryThis: 'Store three beats.' },
  SECTOR_CLIPPED: {
    says: 'Part of the sector lies outside the picture.',
    tryThis: 'Zoom out until its edges show.',
  },
  DEPTH_SMALL: { says: 'The heart reaches the lower edge.', tryThis: 'Make the depth a little larger.' },
  DEPTH_LARGE: { says: 'The heart is small in the picture.', tryThis: 'Make the depth smaller.' },
  FRAMES_REPEATED: {
    says: 'Frames repeat, as when a screen is filmed.',
    tryThis: 'Export the clip from the machine if you can.',
  },
  STILL_TEXT_INSIDE: {
    says: 'Text seems to stand inside the sector.',
    tryThis: 'Check that it names nobody before it leaves.',
  },
};

/** Verdicts for those who read the clip. */
const verdicts: Record<PlaneVerdict, string> = {
  'on-axis': 'Round: this short axis looks square to the ventricle.',
  borderline: 'Slightly oval: this short axis may be a little tilted.',
  'off-axis': 'Oval: this short axis looks tilted.',
  'not-round': 'Not round: tilt or flattening of the septum; the outline cannot tell which.',
  'not-assessable': 'The axis of this short axis could not be assessed.',
};

const rootVerdicts: Record<AssessedRoot['verdict'], string> = {
  round: 'The aortic root is round.',
  borderline: 'The aortic root is slightly oval.',
  oblique: 'The aortic root is oval: the cut looks oblique.',
  'not-assessable': 'The roundness of the aortic root could not be assessed.',
};

const foreshortening: Record<AssessedLongAxis['foreshortened'], string> = {
  suspected: 'The ventricle looks cut short of its apex.',
  'no-sign': 'No sign that the apex is cut off was found.',
  'not-assessable': 'Whether the apex is cut off could not be assessed.',
};

/** A reason code in words; unknown codes are said with their code instead of staying silent. */
export function sayAssessmentReason(code: string): string {
  return (reasons as Record<string, string>)[code] ?? `Noted: ${code}.`;
}

/** A quality mark in words, with one sentence on what to try. */
export function sayQualityMark(code: string): { readonly says: string; readonly tryThis: string } {
  return (
    (quality as Record<string, { says: string; tryThis: string }>)[code] ?? {
      says: `Noted: ${code}.`,
      tryThis: '',
    }
  );
}

/** Verdict on a short axis for readers; a hint, never more. */
export function sayPlaneVerdict(verdict: PlaneVerdict): string {
  return verdicts[verdict];
}

export function sayRootVerdict(verdict: AssessedRoot['verdict']): string {
  return rootVerdicts[verdict];
}

export function sayForeshortening(state: AssessedLongAxis['foreshortened']): string {
  return foreshortening[state];
}

/**
 * One sentence for the person who holds the probe: what to try, no degrees; null where there is nothing to try or where trying would
 * rest on doubt. Never to be shown while the animal is in distress.
 */
export function sayWhatToTry(
  assessment: Pick<Assessment, 'shortAxis' | 'aorticRoot' | 'longAxis'>,
): string | null {
  const { shortAxis, aorticRoot, longAxis } = assessment;
  if (shortAxis && shortAxis.confidence >= 0.35) {
    if (shortAxis.verdict === 'off-axis')
      return 'The ventricle looks oval: tilt and turn the probe a little until it is round and both papillary muscles show alike.';
    if (shortAxis.verdict === 'borderline')
      return 'Nearly round: a very small tilt may make the ventricle rounder.';
  }
  if (aorticRoot && aorticRoot.confidence >= 0.35 && aorticRoot.verdict === 'oblique') {
    if (aorticRoot.reasons.includes('ROOT_MUSCLE_ON_LEFT'))
      return 'The aorta looks oval with the outlet on the left: turn the probe a little further.';
    if (aorticRoot.reasons.includes('ROOT_MUSCLE_ON_RIGHT'))
      return 'The aorta looks oval with the outlet on the right: turn the probe back a little.';
    return 'The aorta looks oval: turn the probe a little until it is round and three cusps show.';
  }
  if (longAxis?.foreshortened === 'suspected' && longAxis.confidence >= 0.3)
    return 'The apex may be cut off: slide back and angle towards the apex.';
  return null;
}

/** Stands beside every mark of the computer's. */
export const SYNTHETIC_CAUTION =
  'Developed on computed clips, not yet confirmed on real ones: a hint for your own eyes.';
