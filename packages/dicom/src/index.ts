/**
 * Reading and writing of ultrasound DICOM, in pure code.
 *
 * Terms: a *source* is bytes by range; a *frame's places* are its pieces in the file; a *region* is a calibrated
 * rectangle (PS3.3 C.8.5.5); the *keep area* is what may be seen outside the practice.
 */

export type { AviCoding, AviFile } from './avi';
export { rawAviPixels, readAvi } from './avi';
export { decodeBmp } from './bmp';
export type { CodedSamples } from './coded-samples';
export type { DicomFile, Photometric, PixelLayout } from './describe';
export { describeDicom, nativeFrameBytes } from './describe';
export type { DirectoryRecord } from './directory';
export { readDirectory } from './directory';
export type { FramePiece, FramePlaces } from './frames';
export { locateFrames, readFrame } from './frames';
export type { DicomHeader, Inflate, ReadOptions } from './header';
export { openDicom } from './header';
export { compareIdentity } from './identity';
export { isoMediaIsComplete } from './iso-media';
export type { IsoFilm, IsoSample } from './iso-samples';
export { readIsoFilm } from './iso-samples';
export { maskJpegBlocks } from './jpeg-blocks';
export {
  blackOutside,
  boundingBox,
  boxesWithout,
  outgoingKeepArea,
  outlineRows,
  touchingKept,
} from './keep-area';
export { machineSaysNothing } from './machine';
export { withHuffmanTables } from './mjpeg';
export type { Picture } from './pixels';
export { decodePixels, decodeStream, isOwnStreamKind, pictureOf, throughLevels } from './pixels';
export type { FilmFormat, KnownFormat, StillFormat } from './recognise';
export { recognise } from './recognise';
export { decodeRle, encodeRle } from './rle';
export type { ByteSource, Read } from './source';
export { memorySource, problem, refuse } from './source';
export { describeStill } from './still';
export type { JpegHead } from './still-head';
export { jpegIsComplete, pngIsComplete, readJpegHead, readPngHead } from './still-head';
export { findStillMarks, StillnessMap } from './still-marks';
export type { StreamKind } from './stream-kind';
export { streamKind } from './stream-kind';
export { decodeText, personName } from './text';
export * from './writer';
export type { ZipEntry, ZipListing } from './zip';
export { cleanPath, listZip } from './zip';
