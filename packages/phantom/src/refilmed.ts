import { exactCos, exactSin } from '@chordae/units';
import type { PanelFrames } from './screen-panels';

/** How a screen is seen by a camera before it: turned, and not looked at straight on. */
export interface Refilming {
  /** Clockwise, degrees. */
  readonly rotationDeg: number;
  /** How much narrower the upper edge is than the lower one, part of the width; negative the other way round. */
  readonly keystone: number;
}

/** Where a place of the filmed picture lies on the screen itself. */
export function onScreen(
  widthPx: number,
  heightPx: number,
  { rotationDeg, keystone }: Refilming,
): (x: number, y: number) => { readonly x: number; readonly y: number } {
  const angle = (rotationDeg / 180) * Math.PI;
  const [c, s] = [exactCos(angle), exactSin(angle)];
  const [mx, my] = [widthPx / 2, heightPx / 2];
  return (x, y) => {
    const [dx, dy] = [x - mx, y - my];
    const [u, v] = [c * dx + s * dy, -s * dx + c * dy];
    // Central projection of a plane tipped away above, so that straight lines stay straight.
    const far = 1 + (keystone * v) / heightPx;
    return { x: mx + u / far, y: my + v / far };
  };
}

/** The same frames filmed again; what lies beyond the screen is nearly black. */
export function refilmed(picture: PanelFrames, how: Refilming): PanelFrames {
  const { widthPx, heightPx } = picture;
  const place = onScreen(widthPx, heightPx, how);
  const at = Array.from({ length: widthPx * heightPx }, (_, n) =>
    place((n % widthPx) + 0.5, Math.floor(n / widthPx) + 0.5),
  );
  const frames = picture.frames.map((luma) =>
    Uint8Array.from(at, ({ x, y }) => {
      const [fx, fy] = [x - 0.5, y - 0.5];
      const [x0, y0] = [Math.floor(fx), Math.floor(fy)];
      if (x0 < 0 || y0 < 0 || x0 + 1 >= widthPx || y0 + 1 >= heightPx) return 2;
      const [wx, wy] = [fx - x0, fy - y0];
      const n = y0 * widthPx + x0;
      const top = (luma[n] as number) * (1 - wx) + (luma[n + 1] as number) * wx;
      const under = (luma[n + widthPx] as number) * (1 - wx) + (luma[n + widthPx + 1] as number) * wx;
      return Math.round(top * (1 - wy) + under * wy);
    }),
  );
  return { widthPx, heightPx, frames };
}
