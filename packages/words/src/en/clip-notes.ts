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
  TIMING_OF_FILM: () =>
    'A film: it plays as it was saved, which may be slower or faster than the heart was. Times are not measured on it.',
  PAGES: (d) => `A document of ${String(d['count'] ?? 'several')} pages; step through them like frames.`,
  FILM_TURNED: (d) =>
    `The film was turned by ${String(d['degrees'] ?? '')} degrees, as it says, to stand upright.`,
  FILM_INTERLACED: () =>
    'The film was recorded in half frames; each frame shown was made from the lines of one moment.',
  PIXELS_NOT_SQUARE: (d) =>
    `The film says that its pixels are ${String(d['ratio'] ?? 'not')} times as wide as high; it is shown pixel by pixel, so lengths and angles look distorted.`,
  FRAMES_REPEATED: (d) =>
    `${String(d['count'] ?? 'Some')} frames are exact repeats of the one before: it was filmed or saved at a higher rate than it was scanned.`,
  FRAMES_DROPPED: (d) =>
    `${String(d['count'] ?? 'Some')} frames were exact repeats of the one before, as when a screen is filmed or saved at a higher rate than it was scanned: they are left out, and the others keep their times.`,
  FILM_FRAMES_DOUBTFUL: () =>
    'The film is damaged in places: some frames may show what was never recorded. Ask for it again before anything is concluded from it.',
  GREY_WINDOWED: (d) =>
    `Grey levels are shown through the window that the file names (centre ${String(d['centre'] ?? '?')}, width ${String(d['width'] ?? '?')}): what lies outside it is all black or all white.`,
  GREY_THROUGH_TABLE: () => 'Grey levels are shown through the table that the file brings.',
  GREY_WITHOUT_WINDOW: (d) =>
    `The picture has ${String(d['bits'] ?? 'more than 8')} bits of grey and names no window: its whole range is shown, so it may look dark or flat.`,
  OVERLAYS_NOT_SHOWN: (d) =>
    `The file brings ${d['count'] === 1 ? 'an overlay' : `${String(d['count'] ?? 'some')} overlays`}: lines or text to be laid over its picture. They are kept with the original, not shown, and never leave the practice.`,
  PIXELS_WITHOUT_END: () =>
    'The file ends without the closing mark behind its last frame; all declared frames are there.',
  TRANSFER_SYNTAX_GUESSED: (d) =>
    `The file does not say how it is written; it was read as ${String(d['name'] ?? 'what it looks like')}.`,
};
