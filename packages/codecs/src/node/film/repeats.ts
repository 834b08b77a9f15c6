import type { Demuxer, FilmDecoder, FilmHead } from './film-decoder';

/** A frame this much smaller than the usual one may hold nothing new (our own choice, tried on made films). */
const smallShare = 0.25;

/** Output of ffmpeg's framehash: one line a frame, its hash last. `framehashArguments` asks for it. */
export const framehashArguments = [
  '-map',
  '0:v:0',
  '-fps_mode',
  'passthrough',
  '-f',
  'framehash',
  '-hash',
  'murmur3',
];

export function readFramehash(text: string): string[] {
  return text
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'))
    .map((line) => line.split(',').at(-1)?.trim() ?? '');
}

/** Whether some frame may repeat the one before, by the sizes alone: only then it is worth decoding the film once more. */
export function mayRepeat({ frameBytes }: Pick<FilmHead, 'frameBytes'>): boolean {
  const sizes = frameBytes.filter((size) => Number.isFinite(size));
  const usual = [...sizes].sort((a, b) => a - b)[sizes.length >> 1] ?? 0;
  return sizes.some((size, n) => n > 0 && (size < smallShare * usual || size === sizes[n - 1]));
}

/** Numbers of the frames that show something new. Woven half frames are all kept: what is shown of one depends on its neighbours. */
export async function newFrames(
  decoder: FilmDecoder,
  path: string,
  demuxer: Demuxer,
  head: FilmHead,
): Promise<number[]> {
  const all = Array.from({ length: head.frameCount }, (_, n) => n);
  if (head.frameTimesMs === null || head.interlaced || !mayRepeat(head)) return all;
  const hashes = await decoder.hashes(path, demuxer);
  if (hashes === null || hashes.length !== head.frameCount) return all;
  return all.filter((n) => n === 0 || hashes[n] !== hashes[n - 1]);
}
