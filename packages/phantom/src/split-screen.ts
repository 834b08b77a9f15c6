import type { PhantomClip } from './clip';

/** Two clips of one size side by side on one screen, as long as the shorter. */
export function splitScreen(
  left: PhantomClip,
  right: PhantomClip,
): { readonly widthPx: number; readonly heightPx: number; readonly frames: readonly Uint8Array[] } {
  const { widthPx, heightPx } = left.fan;
  if (right.fan.widthPx !== widthPx || right.fan.heightPx !== heightPx)
    throw new Error(`splitScreen: ${widthPx}x${heightPx} beside ${right.fan.widthPx}x${right.fan.heightPx}`);
  const count = Math.min(left.frames.length, right.frames.length);
  const frames = Array.from({ length: count }, (_, n) => {
    const out = new Uint8Array(2 * widthPx * heightPx);
    for (let y = 0; y < heightPx; y += 1) {
      const row = y * widthPx;
      out.set((left.frames[n] as Uint8Array).subarray(row, row + widthPx), 2 * row);
      out.set((right.frames[n] as Uint8Array).subarray(row, row + widthPx), 2 * row + widthPx);
    }
    return out;
  });
  return { widthPx: 2 * widthPx, heightPx, frames };
}
