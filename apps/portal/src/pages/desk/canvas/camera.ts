import type { FramePoint } from '@chordae/contract';

/** A place on the screen, in CSS pixels from the upper left corner of the tile. Never mixed with a FramePoint. */
export interface ScreenPoint {
  readonly sx: number;
  readonly sy: number;
}

/** Joins screen and frame, and nothing else does: screen = frame × scale + offset. */
export interface Camera {
  readonly scale: number;
  readonly offsetX: number;
  readonly offsetY: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Shows the whole frame, centred. */
export function fitCamera(frame: Size, tile: Size): Camera {
  const scale = Math.min(tile.width / Math.max(1, frame.width), tile.height / Math.max(1, frame.height));
  return {
    scale,
    offsetX: (tile.width - frame.width * scale) / 2,
    offsetY: (tile.height - frame.height * scale) / 2,
  };
}

export function toFrame(camera: Camera, p: ScreenPoint): FramePoint {
  return { x: (p.sx - camera.offsetX) / camera.scale, y: (p.sy - camera.offsetY) / camera.scale };
}

export function toScreen(camera: Camera, p: FramePoint): ScreenPoint {
  return { sx: p.x * camera.scale + camera.offsetX, sy: p.y * camera.scale + camera.offsetY };
}

/** Larger or smaller round a place that stays where it is. Between a quarter and 16 screen pixels a frame pixel. */
export function zoomAt(camera: Camera, about: ScreenPoint, factor: number): Camera {
  const scale = Math.min(16, Math.max(0.25, camera.scale * factor));
  const ratio = scale / camera.scale;
  return {
    scale,
    offsetX: about.sx - (about.sx - camera.offsetX) * ratio,
    offsetY: about.sy - (about.sy - camera.offsetY) * ratio,
  };
}

export function pan(camera: Camera, dx: number, dy: number): Camera {
  return { ...camera, offsetX: camera.offsetX + dx, offsetY: camera.offsetY + dy };
}

export type TwoFingers = readonly [ScreenPoint, ScreenPoint];

/** Two fingers move: what lies midway between them stays midway, and the picture grows as they part. It is not turned. */
export function pinch(camera: Camera, before: TwoFingers, now: TwoFingers): Camera {
  const middle = ([a, b]: TwoFingers): ScreenPoint => ({ sx: (a.sx + b.sx) / 2, sy: (a.sy + b.sy) / 2 });
  const apart = ([a, b]: TwoFingers): number => Math.hypot(a.sx - b.sx, a.sy - b.sy);
  const from = middle(before);
  const to = middle(now);
  const factor = apart(before) > 1 ? apart(now) / apart(before) : 1;
  return pan(zoomAt(camera, from, factor), to.sx - from.sx, to.sy - from.sy);
}
