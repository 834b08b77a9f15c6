import type { Problem } from '@chordae/contract';
import { clipNotes } from './clip-notes';

type Words = (d: Problem['data']) => string;

const what = (d: Problem['data'], fallback: string): string =>
  d.what === undefined ? fallback : String(d.what);

/** Files that could not be read, or read only in part. Each says what it is and what can be done. */
const problems: Record<string, Words> = {
  ...clipNotes,
  FORMAT_NOT_YET_READ: (d) =>
    `This is ${what(d, 'a format')} we do not read yet. Export it as DICOM, JPEG or PNG from the machine if you can.`,
  TRANSFER_SYNTAX_NOT_YET_READ: (d) =>
    `The picture data are packed as ${d.name ?? 'a kind'} we do not read yet. Export it uncompressed or as JPEG from the machine if you can.`,
  FILE_TRUNCATED: () =>
    'The file is cut off: it promises more than it holds. Copy it again from the machine.',
  FILE_EMPTY: () => 'The file is empty.',
  NOT_AN_IMAGE: (d) =>
    `This is no image or clip${d.what === undefined ? '' : ` (${d.what})`}: there is nothing in it to show.`,
  DICOM_NO_PIXELS: () => 'A DICOM file without a picture, such as a report or a directory. Nothing to show.',
  DICOM_DAMAGED: () =>
    'The DICOM structure of the file contradicts itself and could not be read. Export it again from the machine.',
  DICOM_DIRECTORY: () => 'A DICOM directory: the list of what a stick holds, without a picture of its own.',
  DICOM_HEADER_TOO_LARGE: () => 'The header of this DICOM file is larger than we open.',
  FILE_TOO_LARGE: () => 'The file is larger than we open.',
  PICTURE_SIZE_MISSING: () => 'The file does not say how large its picture is, so it cannot be shown.',
  PICTURE_TOO_LARGE: (d) =>
    `The picture is larger than we open${d['widthPx'] === undefined ? '' : ` (${d['widthPx']} by ${d['heightPx'] ?? '?'} pixels)`}.`,
  FRAME_COUNT_IMPLAUSIBLE: (d) =>
    `The file gives a number of frames that cannot be${d['value'] === undefined ? '' : ` ("${d['value']}")`}.`,
  FRAMES_TOO_MANY: (d) =>
    `The clip has more frames than we open${d['frames'] === undefined ? '' : ` (${d['frames']})`}. Export a shorter one.`,
  FRAMES_MISSING: (d) =>
    `The file promises ${d['expected'] ?? 'more'} frames but holds ${d['found'] ?? 'fewer'}: it is cut off. Copy it again from the machine.`,
  FRAMES_NOT_SEPARABLE: () =>
    'The file does not say where one frame ends and the next begins. Export it uncompressed or as JPEG from the machine if you can.',
  FRAME_DAMAGED: (d) =>
    `${d['frame'] === undefined ? 'The picture' : `Frame ${d['frame']}`} is damaged and cannot be unpacked, so the file is not shown at all. Copy it again from the machine.`,
  FRAME_SIZE_DIFFERS: (d) =>
    `Frame ${d['frame'] ?? ''} has another size (${d['widthPx'] ?? '?'} by ${d['heightPx'] ?? '?'} pixels) than the file declares: its measures could not be trusted, so it is not shown.`,
  FRAME_NOT_THERE: () => 'There is no such frame in this clip.',
  PIXEL_DEPTH_NOT_YET_READ: (d) =>
    `The picture has ${d['bits'] ?? 'more than 8'} bits a sample, in a coding of which we read 8: it is kept but not shown. Export it uncompressed or as JPEG from the machine if you can.`,
  PIXEL_DEPTH_CONTRADICTS: (d) =>
    `The file says that its pictures have ${d['bits'] ?? 'fewer'} bits a sample, but they are coded with ${d['found'] ?? 'more'} and use them: how bright they are meant cannot be told. It is kept but not shown. Export it uncompressed or as JPEG from the machine if you can.`,
  COLOUR_NOT_YET_READ: (d) =>
    `The picture's colours are written in a way we do not read yet${d['photometric'] === undefined ? '' : ` (${d['photometric']})`}. Export it uncompressed or as JPEG from the machine if you can.`,
  PALETTE_MISSING: () => 'The file has its colours in a table, but the table is missing or damaged.',
  OUTPUT_TOO_LARGE: () => 'Unpacked, the clip would be larger than we keep. Try a shorter clip.',
  READ_AFTER_UPLOAD: () => 'This kind of file is opened by the server, after it has arrived.',
  FILM_DECODER_MISSING: (d) =>
    `This is a film (${String(d['what'] ?? 'video')}) for which no decoder is installed on the server. Export it as DICOM or as an AVI of JPEG frames from the machine, or ask whoever runs the server to install ffmpeg.`,
  FILM_DAMAGED: () => 'The film could not be unpacked: it is damaged or cut off. Copy it again.',
  DICOM_REPORT: () => "A machine's own report: its numbers are read, there is no picture in it.",
  REPORT_NAMES_ANOTHER: (d) =>
    `A machine's report${d['inFile'] === undefined || d['inFile'] === '' ? '' : ` for '${d['inFile']}'`}: what it says of the patient differs from the referral, so none of its numbers is offered. Is it the right patient?`,
  REPORT_WITHOUT_NUMBERS: () => "A machine's report without a number that could be read.",
  ARCHIVE_TO_UNPACK: () => 'An archive: what it holds is unpacked and read file by file.',
  ARCHIVE_UNPACKED: (d) => sayArchive(d),
  ARCHIVE_DAMAGED: () =>
    'The archive contradicts itself and was not unpacked. Pack it again, or send the files as they are.',
  ARCHIVE_TOO_LARGE: () =>
    'The archive holds more than we unpack. Send only the scan, or the files as they are.',
  DOCUMENT_DAMAGED: () =>
    'The document could not be opened: it is damaged, cut off or locked with a password. Export it again.',
  FILM_WITHOUT_PICTURE: () => 'The film holds no pictures.',
  MASK_NOT_DECIDED: () => 'Nobody has decided yet what of this picture may be seen outside the practice.',
  ORIGINAL_NOT_THERE: () =>
    'The original file is not at its place in the store. Tell whoever runs the server.',
  DISK_FULL: () =>
    'The server has no room left to unpack it. The original is kept; tell whoever runs the server.',
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
  POINTS_IN_DIFFERENT_REGIONS: () =>
    'The two points lie in different parts of the picture, which have different scales. Put both into one.',
  POINT_OUTSIDE_REGION: () => 'A point lies outside the calibrated part of the picture.',
  REGION_NOT_A_LENGTH: () =>
    'This part of the picture is not scaled in centimetres: a length cannot be measured in it.',
  PATIENT_NAME_DIFFERS: (d) =>
    `The name in the file${d.inFile === undefined ? '' : ` ('${d.inFile}')`} differs from the referral's. Is it the right patient?`,
  DUPLICATE_FILE: () => 'This file is already here: it was recognised and not stored twice.',
};

/** What came out of an archive and what stayed in it, each reason that there was. */
function sayArchive(d: Problem['data']): string {
  const count = (key: string): number => Number(d[key] ?? 0);
  const kept = count('kept');
  const files = kept === 1 ? 'one file was' : kept === 0 ? 'no files were' : `${kept} files were`;
  const left: readonly (readonly [string, string])[] = [
    ['other', 'no picture, film or report'],
    ['directories', 'a directory only'],
    ['damaged', 'damaged'],
    ['locked', 'locked with a password'],
    ['archives', 'an archive inside the archive'],
    ['unsafe', 'with a path that leads out of the archive'],
    ['unreadable', 'packed in a way we do not open'],
  ];
  const reasons = left.filter(([key]) => count(key) > 0).map(([key, why]) => `${count(key)} ${why}`);
  const rest = reasons.length === 0 ? '' : ` Left inside: ${reasons.join(', ')}.`;
  const missing = count('missing');
  const gap =
    missing === 0
      ? ''
      : ` Its DICOM directory names ${missing === 1 ? 'one file that is' : `${missing} files that are`} not in it: part of the scan may be missing.`;
  return `An archive: ${files} taken out of it to be read.${rest}${gap}`;
}

/** Problem codes that have words. */
export const problemCodesInWords: readonly string[] = Object.keys(problems);

/** A problem of a file or a measurement in words; an unknown code is still said. */
export function sayProblem(problem: Problem): string {
  return (
    problems[problem.code]?.(problem.data) ??
    `This could not be read (${problem.code}). The original is kept.`
  );
}
