import type { GrayFrame } from '../gray-frame';

/** Mean over time of each pixel of frames of one size, rounded: shrinking it costs as much as shrinking one frame. */
export function meanFrame(frames: readonly GrayFrame[]): GrayFrame {
  const first = frames[0] as GrayFrame;
  if (frames.length === 1) return first;
  const count = frames.length;
  const luma = new Uint8Array(first.widthPx * first.heightPx);
  const sums = new Uint32Array(luma.length);
  for (const frame of frames) {
    const from = frame.luma;
    for (let n = 0; n < sums.length; n += 1) sums[n] = (sums[n] as number) + (from[n] as number);
  }
  const half = count >> 1;
  for (let n = 0; n < luma.length; n += 1) luma[n] = Math.floor(((sums[n] as number) + half) / count);
  return { widthPx: first.widthPx, heightPx: first.heightPx, luma };
}
