import type { ClipDescription, MachineSays } from '@chordae/contract';
import type { Picture, Read } from '@chordae/dicom';
import { describeStill, machineSaysNothing, readJpegHead, recognise, refuse } from '@chordae/dicom';
import type { FrameEncoding } from '../pack/frame-pack';
import { openDicomOriginal } from './dicom-original';
import type { FileSource } from './file-source';
import { openFileSource } from './file-source';
import { decodePicture } from './pictures';

/** The decoder behind one interface: whatever an original is, it has a description and frames. */
export interface Original {
  readonly description: ClipDescription;
  readonly machine: MachineSays;
  /** The frame as it came, when browsers show those very bytes rightly; null when it has to be encoded anew. */
  asItCame(
    frame: number,
  ): Promise<Read<{ readonly bytes: Uint8Array; readonly encoding: FrameEncoding } | null>>;
  picture(frame: number): Promise<Read<Picture>>;
  close(): Promise<void>;
}

/** Recognises and opens an original. */
export async function openOriginal(path: string): Promise<Read<Original>> {
  const source = await openFileSource(path);
  const opened = await open(source);
  if (!opened.ok) await source.close();
  return opened;
}

async function open(source: FileSource): Promise<Read<Original>> {
  const format = recognise(await source.read(0, 4096), source.size);
  if (!format.ok) return format;
  if (format.value !== 'dicom') return openStill(source, format.value);
  return openDicomOriginal(source);
}

const largestStill = 200_000_000;

async function openStill(source: FileSource, format: 'jpeg' | 'png'): Promise<Read<Original>> {
  const description = await describeStill(source, format);
  if (!description.ok) return description;
  if (source.size > largestStill) return refuse('FILE_TOO_LARGE', { bytes: source.size });
  const bytes = await source.read(0, source.size);
  const head = format === 'jpeg' ? readJpegHead(bytes) : null;
  // A turned JPEG is encoded anew, so that pixels mean the same to every reader; so is a CMYK one.
  const plain = head === null || (head.orientation === 1 && head.components !== 4);
  return {
    ok: true,
    value: {
      description: description.value,
      machine: machineSaysNothing,
      asItCame: () => Promise.resolve({ ok: true, value: plain ? { bytes, encoding: format } : null }),
      picture: () => decodePicture(bytes),
      close: () => source.close(),
    },
  };
}
