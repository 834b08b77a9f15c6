import type { GrayFrame } from '../gray-frame';

/** Mean over time of each pixel of frames of one size, rounded: shrinking it costs as much as shrinking one frame. */
export function meanFrame(frames: readonly GrayFrame[]): GrayFrame {
  const first = frames[0] as GrayFrame;
  if (frames.length === 1) return first;
  const sums = new Uint32Array(first.widthPx * first.heightPx);
  for (const { luma } of frames)
    for (let n = 0; n < sums.length; n += 1) sums[n] = (sums[n] as number) + (luma[n] as number);
  const half = frames.length / 2;
  return { ...first, luma: Uint8Array.from(sums, (v) => Math.floor((v + half) / frames.length)) };
}
