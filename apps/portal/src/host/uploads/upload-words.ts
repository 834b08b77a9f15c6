/** Why a file is not sent, by the code of what was read of it. */
export const REFUSED: Record<string, string> = {
  NOT_AN_IMAGE: 'This is no image or clip. It was not sent.',
  DICOM_NO_PIXELS: 'A DICOM file without a picture, such as a report or a directory. It was not sent.',
};

/** Read by the server: files that a browser does not open, and reports without a picture. */
export const READ_THERE = new Set(['READ_AFTER_UPLOAD', 'DICOM_REPORT']);

/** Said of a file that waits for a line. */
export const KEPT_HERE = 'Kept on this device. It is sent by itself when there is a line.';
export const NOT_KEPT =
  'There was no room to copy it onto this device: keep this page open until it has been sent.';
export const WAITS_FOR_CASE =
  'Waits for something else of this case that needs you: see what is kept on this device.';
export const SMALL_FIRST = 'Stands back a moment: what is typed and first pictures go first.';
export const WAITS_FOR_SIGN_IN = 'Waits until you have signed in again.';
