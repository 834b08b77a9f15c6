import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { readOriginalInChild } from '@chordae/codecs/node';
import type { Analysis, ClipDescription, FanProposal, Species, ViewId } from '@chordae/contract';
import {
  assessClip,
  detectSectorGeometry,
  type GrayFrame,
  mostFrames,
  proposeFan,
  suggestView,
} from '@chordae/imaging';
import { decoderEntry } from './decoder-entry';

/** What is known of the animal and the clip from elsewhere; what is not known stays null and is not guessed. */
export interface PictureOptions {
  readonly view: ViewId | null;
  readonly species: Species | null;
  readonly weightKg: number | null;
}

/** Looks at the pictures of a file: sector, ruler, cycle, quality and, where the view is said, the cut. null where it cannot be decoded. */
export async function lookAtPictures(
  originalPath: string,
  options: PictureOptions,
): Promise<Analysis['picture']> {
  const read = await greyOf(originalPath);
  if (read === null) return null;
  const { frames, description } = read;
  const region = description.regions.find((r) => r.usable && r.kind === '2d' && r.unitY === 'cm');
  const assessment = assessClip(frames, {
    frameTimesMs: description.frameTimesMs,
    rWaveTimesMs: description.rWaveTimesMs,
    pxPerCm: region && region.deltaY > 0 ? 1 / region.deltaY : null,
    ...options,
  });
  const suggested = frames.length > 1 ? suggestView(frames, detectSectorGeometry(frames)) : null;
  return { assessment, suggestedView: suggested?.view ?? null };
}

/** Whether the sector alone could leave, as the server asks it of a clip; null where none is sure enough. */
export async function fanOf(originalPath: string): Promise<FanProposal | null> {
  const read = await greyOf(originalPath);
  return read === null ? null : proposeFan(read.frames, detectSectorGeometry(read.frames));
}

async function greyOf(
  originalPath: string,
): Promise<{ frames: GrayFrame[]; description: ClipDescription } | null> {
  const folder = await mkdtemp(path.join(tmpdir(), 'chordae-analyse-'));
  try {
    const outPath = path.join(folder, 'luma');
    const read = await readOriginalInChild(
      { kind: 'grey-frames', originalPath, outPath, mostFrames },
      decoderEntry(),
    );
    if (!read.ok) return null;
    const { widthPx, heightPx, frames: count, description } = read.value;
    const bytes = await readFile(outPath);
    const area = widthPx * heightPx;
    const frames = Array.from({ length: count }, (_f, n) => ({
      widthPx,
      heightPx,
      luma: bytes.subarray(n * area, (n + 1) * area),
    }));
    return { frames, description };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
