import { mkdtemp, rm } from 'node:fs/promises';
import path from 'node:path';
import {
  type DecoderLimits,
  type Keep,
  type ReadOriginalOutcome,
  type ReadOriginalRequest,
  usualLimits,
} from '@chordae/codecs';

import { readOriginalInChild } from '@chordae/codecs/node';

import type { KeepBox, MaskState } from '@chordae/contract';
import { AppError } from '../../platform/app-error';
import { decoderEntry } from '../../platform/decoder-entry';
import type { Services } from '../../platform/services';

export function decoderLimits(services: Services): DecoderLimits {
  return {
    ...usualLimits,
    wallMs: services.config.CHORDAE_DECODER_SECONDS * 1000,
    rssMb: services.config.CHORDAE_DECODER_MB,
  };
}

/** Untrusted bytes are read in a process of their own. */
export function readOriginal<R extends ReadOriginalRequest>(
  services: Services,
  request: R,
): Promise<ReadOriginalOutcome<R>> {
  return readOriginalInChild(request, { ...decoderEntry(), limits: decoderLimits(services) });
}

/** What may be seen of a clip outside the practice, from the decision that stands. */
export function keepOf(clip: { mask: MaskState; keepBox: KeepBox | null }): Keep | null {
  const { cover = [], outline, ...box } = clip.keepBox ?? { cover: [] };
  if (clip.mask === 'regions') return cover.length === 0 ? 'auto' : { keep: 'auto', cover };
  if (clip.mask === 'no-name-confirmed') return 'all';
  if (clip.mask === 'fan' && outline) return cover.length === 0 ? { outline } : { keep: { outline }, cover };
  if (clip.mask === 'box' && 'x0' in box) return cover.length === 0 ? box : { keep: box, cover };
  return null;
}

/** Exact pixels of one frame; masked unless it is for the practice itself. */
export async function exactFramePng(
  services: Services,
  storageKeyOfOriginal: string,
  frame: number,
  forGroup: { mask: MaskState; keepBox: KeepBox | null } | null,
): Promise<Uint8Array> {
  const keep = forGroup ? keepOf(forGroup) : 'own';
  if (keep === null) throw new AppError('NOT_READY');
  const outcome = await services.storage.withLocalFile(storageKeyOfOriginal, (originalPath) =>
    readOriginal(services, { kind: 'exact-frame', originalPath, frame, keep }),
  );
  if (!outcome.ok) throw new AppError('NOT_READY', { problem: outcome.problem.code });
  return outcome.value.png;
}

/** A folder for unfinished packs, on the same disk as the store, gone afterwards. */
export async function withScratch<T>(services: Services, work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(path.join(services.config.dataFolder, 'scratch-'));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
