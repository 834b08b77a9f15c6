/** One picture as brightness only: one byte a pixel, row by row from the top left. */
export interface GrayFrame {
  readonly widthPx: number;
  readonly heightPx: number;
  /** widthPx × heightPx bytes; luma, 0 black to 255 white. */
  readonly luma: Uint8Array;
}

/** Frames that can be computed on: whole, and of the size of the first whole one. Others are left out, not refused. */
export function usableFrames(frames: readonly GrayFrame[]): GrayFrame[] {
  const whole = frames.filter(
    ({ widthPx, heightPx, luma }) =>
      Number.isInteger(widthPx) &&
      Number.isInteger(heightPx) &&
      widthPx > 0 &&
      heightPx > 0 &&
      luma.length >= widthPx * heightPx,
  );
  const first = whole[0];
  return first
    ? whole.filter((frame) => frame.widthPx === first.widthPx && frame.heightPx === first.heightPx)
    : [];
}

/** At most `count` frames, evenly spread, first and last among them. */
export function spreadFrames<T>(frames: readonly T[], count: number): T[] {
  if (frames.length <= count) return [...frames];
  return Array.from(
    { length: count },
    (_, n) => frames[Math.round((n * (frames.length - 1)) / (count - 1))] as T,
  );
}
