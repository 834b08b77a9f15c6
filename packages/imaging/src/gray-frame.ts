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

/** Widest picture in which small marks are looked for; larger ones are made smaller by a whole factor. */
const widestForMarks = 1600;

/** Factor that brings a picture to a size in which marks are looked for: 1 up to 1,600 pixels of width or height. */
export function markFactor({ widthPx, heightPx }: GrayFrame): number {
  return Math.max(1, Math.ceil(Math.max(widthPx, heightPx) / widestForMarks));
}

/** The frame made smaller by a whole factor: means of blocks; what is left over at the right and below is dropped. */
export function reducedFrame(frame: GrayFrame, factor: number): GrayFrame {
  if (factor <= 1) return frame;
  const widthPx = Math.max(1, Math.floor(frame.widthPx / factor));
  const heightPx = Math.max(1, Math.floor(frame.heightPx / factor));
  const luma = new Uint8Array(widthPx * heightPx);
  const across = Math.min(factor, frame.widthPx);
  const down = Math.min(factor, frame.heightPx);
  for (let y = 0; y < heightPx; y += 1)
    for (let x = 0; x < widthPx; x += 1) {
      let sum = 0;
      for (let dy = 0; dy < down; dy += 1)
        for (let dx = 0; dx < across; dx += 1)
          sum += frame.luma[(y * factor + dy) * frame.widthPx + x * factor + dx] as number;
      luma[y * widthPx + x] = Math.round(sum / (across * down));
    }
  return { widthPx, heightPx, luma };
}
