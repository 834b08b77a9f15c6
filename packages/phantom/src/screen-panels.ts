import { exactSin } from '@chordae/units';
import type { PhantomClip } from './clip';
import { seededRandom } from './random';
import type { ScreenPicture } from './screen-picture';
import { drawText, fillBox } from './screen-text';

/** Frames of one size, to be laid on a screen. */
export interface PanelFrames {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frames: readonly Uint8Array[];
}

export interface PlacedPanel {
  readonly picture: PanelFrames;
  readonly x: number;
  readonly y: number;
}

/** Lays panels on a black screen; a panel with fewer frames than the longest holds its last one. Text stands over all. */
export function composeScreen(
  widthPx: number,
  heightPx: number,
  panels: readonly PlacedPanel[],
  words: readonly { readonly x: number; readonly y: number; readonly text: string; readonly scale: number }[],
): PanelFrames {
  const count = Math.max(...panels.map((p) => p.picture.frames.length));
  const frames = Array.from({ length: count }, (_, n) => {
    const luma = new Uint8Array(widthPx * heightPx);
    for (const { picture, x, y } of panels) {
      const from = picture.frames[Math.min(n, picture.frames.length - 1)] as Uint8Array;
      const across = Math.min(picture.widthPx, widthPx - x);
      for (let row = 0; row < Math.min(picture.heightPx, heightPx - y); row += 1)
        luma.set(
          from.subarray(row * picture.widthPx, row * picture.widthPx + across),
          (y + row) * widthPx + x,
        );
    }
    for (const { x, y, text, scale } of words) drawText(luma, widthPx, x, y, text, scale, 200);
    return luma;
  });
  return { widthPx, heightPx, frames };
}

/** A part of a picture, bounds inclusive of the first and exclusive of the last pixel. */
export function croppedPanel(
  picture: PanelFrames,
  box: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number },
): PanelFrames {
  const widthPx = box.x1 - box.x0;
  const heightPx = box.y1 - box.y0;
  const frames = picture.frames.map((luma) => {
    const out = new Uint8Array(widthPx * heightPx);
    for (let row = 0; row < heightPx; row += 1) {
      const start = (box.y0 + row) * picture.widthPx + box.x0;
      out.set(luma.subarray(start, start + widthPx), row * widthPx);
    }
    return out;
  });
  return { widthPx, heightPx, frames };
}

/** Size of a clip's frames beside them. */
export function panelOf({ fan, frames }: PhantomClip): PanelFrames {
  return { widthPx: fan.widthPx, heightPx: fan.heightPx, frames };
}

/**
 * An M-mode or a spectrum as it runs on the screen: rolling to the left, rewritten by a bar that sweeps over it, or frozen. The part of
 * the picture inside its own scales, begun again where it ends.
 */
export function runningTrace(
  picture: ScreenPicture,
  count: number,
  manner: 'roll' | 'sweep' | 'still',
  columnsPerFrame = 4,
): PanelFrames {
  const region = picture.regions[0];
  if (!region) throw new Error('runningTrace: a picture without a region');
  const { x0, y0 } = region;
  const whole = croppedPanel(picture, { x0, y0, x1: region.x1 + 1, y1: region.y1 + 1 });
  const { widthPx, heightPx } = whole;
  const still = whole.frames[0] as Uint8Array;
  if (manner === 'still') return { widthPx, heightPx, frames: [still] };
  const frames = Array.from({ length: count }, (_, n) => {
    const luma = new Uint8Array(widthPx * heightPx);
    const bar = Math.floor(widthPx / 3) + n * columnsPerFrame;
    for (let x = 0; x < widthPx; x += 1) {
      const ahead = x - bar;
      if (manner === 'sweep' && ahead >= 0 && ahead < 8) continue;
      const shift = manner === 'roll' ? n * columnsPerFrame : ahead >= 0 ? Math.floor(widthPx / 2) : 0;
      const from = (x + shift) % widthPx;
      for (let y = 0; y < heightPx; y += 1) luma[y * widthPx + x] = still[y * widthPx + from] as number;
    }
    return luma;
  });
  return { widthPx, heightPx, frames };
}

/** Draws a colour box over frames: its outline, and flow in some of it that flickers from frame to frame. */
export function withColourBox(
  picture: PanelFrames,
  box: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number },
  seed: number,
): PanelFrames {
  const random = seededRandom(seed);
  const { widthPx, heightPx } = picture;
  const blobs = Array.from({ length: 4 }, () => ({
    x: box.x0 + (box.x1 - box.x0) * (0.15 + 0.7 * random()),
    y: box.y0 + (box.y1 - box.y0) * (0.15 + 0.7 * random()),
    r: (0.08 + 0.14 * random()) * (box.x1 - box.x0),
    phase: 6.28 * random(),
  }));
  const frames = picture.frames.map((luma, n) => {
    const out = luma.slice();
    for (const { x, y, r, phase } of blobs) {
      const size = r * (0.8 + 0.2 * exactSin(phase + n));
      for (let py = Math.ceil(y - size); py < y + size; py += 1)
        for (let px = Math.ceil(x - size); px < x + size; px += 1)
          if ((px - x) * (px - x) + (py - y) * (py - y) < size * size)
            out[py * widthPx + px] = Math.round(90 + 130 * random());
    }
    fillBox(out, widthPx, box.x0, box.y0, box.x1 - box.x0, 1, 230);
    fillBox(out, widthPx, box.x0, box.y1 - 1, box.x1 - box.x0, 1, 230);
    fillBox(out, widthPx, box.x0, box.y0, 1, box.y1 - box.y0, 230);
    fillBox(out, widthPx, box.x1 - 1, box.y0, 1, box.y1 - box.y0, 230);
    return out;
  });
  return { widthPx, heightPx, frames };
}
