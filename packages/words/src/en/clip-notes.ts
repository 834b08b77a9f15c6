import type { Problem } from '@chordae/contract';

type Words = (d: Problem['data']) => string;

const region = (d: Problem['data']): string => `region ${String(d['region'] ?? '')} of the picture`;

/** Notes on a clip that was read all the same: what its file says wrongly or leaves out, and what follows from it. */
export const clipNotes: Record<string, Words> = {
  CALIBRATION_MISSING: () =>
    'The file carries no calibration: nothing can be measured in mm on it. It can still be read by eye.',
  CALIBRATION_IMPLAUSIBLE: () =>
    'The calibration in the file contradicts the picture: nothing is measured on it.',
  REGION_INCOMPLETE: (d) =>
    `The calibration of ${region(d)} is incomplete in the file: nothing is measured on it.`,
  REGION_EDGE_CLAMPED: (d) =>
    `The file draws ${region(d)} one pixel too large; it was brought back to the picture's edge.`,
  REGION_BEYOND_PICTURE: (d) =>
    `The file places ${region(d)} partly outside the picture, which was probably made smaller afterwards: its scale is not used.`,
  REGION_SCALE_MISSING: (d) => `The file gives no scale for ${region(d)}: nothing is measured on it.`,
  REGION_SCALE_IMPLAUSIBLE: (d) =>
    `The scale of ${region(d)} would make it deeper, longer or faster than any heart picture: it is not used.`,
  REGION_NOT_MEASURED: (d) => `Nothing is measured on ${region(d)}.`,
  FRAME_TIMES_IMPLAUSIBLE: () => 'The frame times in the file cannot be right and are not used.',
  TIMING_NOT_FOR_MEASURING: () =>
    'The file gives only a whole-number display rate: it plays rightly, but times are not measured on it.',
  FRAME_TIME_VECTOR_STARTS_LATE: () =>
    'The first frame time in the file is not 0 as the standard asks; times are counted from the first frame.',
  TIMING_UNKNOWN: () =>
    'The file does not say how fast it was recorded: it plays at a guessed speed and is not for timing.',
  R_WAVE_TIMES_IMPLAUSIBLE: () => 'Some R-wave times in the file cannot be right and are left out.',
  PIXELS_MORE_THAN_DECLARED: () =>
    'The file holds more picture data than it declares; the rest is not shown.',
  FRAMES_MORE_THAN_DECLARED: (d) =>
    `The file holds ${String(d['surplus'] ?? 'some')} more frames than it declares; they are not shown.`,
  PIXELS_WITHOUT_END: () =>
    'The file ends without the closing mark behind its last frame; all declared frames are there.',
  TRANSFER_SYNTAX_GUESSED: (d) =>
    `The file does not say how it is written; it was read as ${String(d['name'] ?? 'what it looks like')}.`,
};
