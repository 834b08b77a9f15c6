import type { FramePoint } from '@chordae/contract';

/** An ellipse on a frame: its middle, both half axes in pixels, and the first axis' direction, degrees from the right, turning down. */
export interface FrameEllipse {
  readonly middle: FramePoint;
  readonly first: number;
  readonly second: number;
  readonly turnDeg: number;
}

/**
 * The ellipse that was measured: two ends of one axis, and a point whose distance from that axis (not from its middle) is the
 * second half axis. Square pixels are assumed: a drawing on a frame stores no aspect. Points (0,0) (10,0) (8,3) have half
 * axes 5 and 3.
 */
export function frameEllipse([a, b, side]: readonly [FramePoint, FramePoint, FramePoint]): FrameEllipse {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const length = Math.hypot(dx, dy);
  const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  const across = Math.abs(dx * (side.y - a.y) - dy * (side.x - a.x));
  return {
    middle,
    first: length / 2,
    second: length === 0 ? 0 : across / length,
    turnDeg: (Math.atan2(dy, dx) * 180) / Math.PI,
  };
}
