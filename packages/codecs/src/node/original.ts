import type { ClipDescription, MachineSays, Problem } from '@chordae/contract';
import type { Picture, Read } from '@chordae/dicom';
import { isoMediaIsComplete, recognise, refuse } from '@chordae/dicom';
import type { FrameEncoding } from '../pack/frame-pack';
import { openDicomOriginal } from './dicom-original';
import type { FileSource } from './file-source';
import { openFileSource } from './file-source';
import { openAvi } from './film/avi-original';
import { openFilm } from './film/film-original';
import { openPdf } from './pdf-original';
import { openStill } from './stills';

/** The decoder behind one interface: whatever an original is, it has a description and frames. */
export interface Original {
  readonly description: ClipDescription;
  readonly machine: MachineSays;
  /** The frame as it came, when browsers show those very bytes rightly; null when it has to be encoded anew. */
  asItCame(
    frame: number,
  ): Promise<Read<{ readonly bytes: Uint8Array; readonly encoding: FrameEncoding } | null>>;
  picture(frame: number): Promise<Read<Picture>>;
  /** Notes that are known only when all frames have been decoded. */
  lateProblems?(): Problem[];
  close(): Promise<void>;
}

/** Recognises and opens an original. */
export async function openOriginal(path: string): Promise<Read<Original>> {
  const source = await openFileSource(path);
  const opened = await open(source, path);
  if (!opened.ok) await source.close();
  return opened;
}

async function open(source: FileSource, path: string): Promise<Read<Original>> {
  const start = await source.read(0, 4096);
  const format = recognise(start, source.size);
  if (!format.ok) return format;
  switch (format.value) {
    case 'dicom':
      return openDicomOriginal(source);
    case 'jpeg':
    case 'png':
    case 'webp':
    case 'tiff':
    case 'gif':
    case 'bmp':
    case 'heic':
    case 'avif':
      return openStill(source, format.value);
    case 'avi':
      return openAvi(source, path, start);
    case 'mp4':
    case 'mov':
      if (!(await isoMediaIsComplete(source))) return refuse('FILE_TRUNCATED');
      return openFilm(path, format.value, start, () => source.close());
    case 'wmv':
    case 'mpeg':
    case 'matroska':
      return openFilm(path, format.value, start, () => source.close());
    case 'pdf':
      return openPdf(source);
    default:
      return refuse('ARCHIVE_TO_UNPACK');
  }
}
