import type { FilmHead } from './film-decoder';

/** Numbers of the frames that show something new. Woven half frames are all kept: what is shown of one depends on its neighbours. */
export function newFrames({
  frameCount,
  frameTimesMs,
  frameHashes,
  interlaced,
}: Pick<FilmHead, 'frameCount' | 'frameTimesMs' | 'frameHashes' | 'interlaced'>): number[] {
  const all = Array.from({ length: frameCount }, (_, n) => n);
  if (frameTimesMs === null || interlaced) return all;
  return all.filter((n) => !isRepeat(frameHashes, n));
}

/** How many frames are exactly the one before. */
export function repeatsIn({ frameHashes }: Pick<FilmHead, 'frameHashes'>): number {
  return frameHashes.filter((_, n) => isRepeat(frameHashes, n)).length;
}

const isRepeat = (hashes: readonly string[], n: number): boolean => n > 0 && hashes[n] === hashes[n - 1];
