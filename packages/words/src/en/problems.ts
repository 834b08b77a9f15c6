import type { Problem } from '@chordae/contract';

type Words = (d: Problem['data']) => string;

const what = (d: Problem['data'], fallback: string): string =>
  d.what === undefined ? fallback : String(d.what);

/** Files that could not be read, or read only in part. Each says what it is and what can be done. */
const problems: Record<string, Words> = {
  FORMAT_NOT_YET_READ: (d) =>
    `This is ${what(d, 'a format')} we do not read yet. Export it as DICOM, JPEG or PNG from the machine if you can.`,
  TRANSFER_SYNTAX_NOT_YET_READ: (d) =>
    `The picture data are packed as ${d.name ?? 'a kind'} we do not read yet. Export it uncompressed or as JPEG from the machine if you can.`,
  FILE_TRUNCATED: () =>
    'The file is cut off: it promises more than it holds. Copy it again from the machine.',
  FILE_EMPTY: () => 'The file is empty.',
  NOT_AN_IMAGE: (d) =>
    `This is no image or clip${d.what === undefined ? '' : ` (${d.what})`}: it is kept with the referral's files but not shown.`,
  DICOM_NO_PIXELS: () => 'A DICOM file without a picture, such as a report or a directory. Nothing to show.',
  DICOM_NOT_READABLE: (d) =>
    `The DICOM structure could not be read${d.what === undefined ? '' : `: ${d.what}`}.`,
  PICTURE_TOO_LARGE: (d) =>
    `The picture is larger than we open${d.limit === undefined ? '' : ` (limit ${d.limit})`}.`,
  TOO_MANY_FRAMES: (d) =>
    `The clip has more frames than we open${d.limit === undefined ? '' : ` (limit ${d.limit})`}.`,
  REFERRAL_ENDED: () =>
    'It arrived after the referral had been answered or withdrawn. The file is kept; open a new referral to have it read.',
  UPLOAD_TAKEN_OUT: () => 'Taken out before it had arrived.',
  FILE_ALREADY_SENT: (d) => `The same file is in referral ${String(d['referralNumber'] ?? '')} as well.`,
  FILE_UNDER_TWO_PATIENTS: (d) =>
    `Alarm: the same file is under another patient too (${String(d['patientName'] ?? '')}, referral ${String(d['referralNumber'] ?? '')}). One of the two is wrong: find out before anybody reads it.`,
  FILE_ALREADY_HERE: () => 'Already in this referral; it was recognised and not stored twice.',
  FILE_CHANGED_ON_THE_WAY: () => 'What arrived differs from what was announced. Pick the file again.',
  DECODER_TIMED_OUT: () => 'Unpacking took too long and was stopped. Try a shorter clip, or export it again.',
  DECODER_OUT_OF_MEMORY: () => 'Unpacking needed too much memory and was stopped. Try a shorter clip.',
  DECODER_CRASHED: () => 'Unpacking failed. The original is kept; the file may be damaged.',
  CALIBRATION_MISSING: () =>
    'The file carries no calibration: nothing can be measured in mm on it. It can still be read by eye.',
  CALIBRATION_IMPLAUSIBLE: () =>
    'The calibration in the file contradicts the picture: nothing is measured on it.',
  POINTS_IN_DIFFERENT_REGIONS: () =>
    'The two points lie in different parts of the picture, which have different scales. Put both into one.',
  POINT_OUTSIDE_REGION: () => 'A point lies outside the calibrated part of the picture.',
  REGION_NOT_A_LENGTH: () =>
    'This part of the picture is not scaled in centimetres: a length cannot be measured in it.',
  TIMING_UNKNOWN: () =>
    'The file does not say how fast it was recorded: it plays at a guessed speed and is not for timing.',
  PATIENT_NAME_DIFFERS: (d) =>
    `The name in the file${d.inFile === undefined ? '' : ` ('${d.inFile}')`} differs from the referral's. Is it the right patient?`,
  DUPLICATE_FILE: () => 'This file is already here: it was recognised and not stored twice.',
};

/** Problem codes that have words. */
export const problemCodesInWords: readonly string[] = Object.keys(problems);

/** A problem of a file or a measurement in words; an unknown code is still said. */
export function sayProblem(problem: Problem): string {
  return (
    problems[problem.code]?.(problem.data) ??
    `This could not be read (${problem.code}). The original is kept.`
  );
}
