import type { DrawnShape, FramePoint } from '@chordae/contract';
import type { Camera } from './camera';
import { toScreen } from './camera';

/** Frame pixels to path letters of the screen. */
function path(camera: Camera, points: readonly FramePoint[], closed = false): string {
  const at = points.map((p) => toScreen(camera, p));
  if (at.length < 2) return '';
  const line = at.map((p, n) => `${n === 0 ? 'M' : 'L'}${p.sx.toFixed(2)} ${p.sy.toFixed(2)}`).join(' ');
  return closed ? `${line} Z` : line;
}

/** The ellipse of three points as a closed line; `aspect` is the height of a pixel by its width. */
export function ellipsePoints(points: readonly FramePoint[], aspect: number): FramePoint[] {
  const [a, b, side] = points;
  if (!a || !b || !side) return [];
  const [centre, half] = [
    { x: (a.x + b.x) / 2, y: ((a.y + b.y) / 2) * aspect },
    { x: (b.x - a.x) / 2, y: ((b.y - a.y) / 2) * aspect },
  ];
  const length = Math.hypot(half.x, half.y);
  if (length === 0) return [];
  const normal = { x: -half.y / length, y: half.x / length };
  const reach = (side.x - centre.x) * normal.x + (side.y * aspect - centre.y) * normal.y;
  return Array.from({ length: 72 }, (_, k) => {
    const turn = (2 * Math.PI * k) / 72;
    const [u, v] = [Math.cos(turn), Math.sin(turn) * reach];
    return {
      x: centre.x + half.x * u + normal.x * v,
      y: (centre.y + half.y * u + normal.y * v) / aspect,
    };
  });
}

/** A shape as one path of the screen. */
export function shapePath(
  camera: Camera,
  shape: DrawnShape,
  points: readonly FramePoint[],
  axis: readonly FramePoint[] | null,
  aspect: number,
): string {
  switch (shape) {
    case 'outline':
      return path(camera, points, true);
    case 'ellipse':
      return points.length < 3 ? path(camera, points) : path(camera, ellipsePoints(points, aspect), true);
    case 'discs':
      return `${path(camera, points, (axis?.length ?? 0) > 0)} ${axis ? path(camera, axis) : ''}`;
    case 'time':
      // Two upright lines: only the moments count.
      return points
        .map((p) =>
          path(camera, [
            { x: p.x, y: p.y - 24 },
            { x: p.x, y: p.y + 24 },
          ]),
        )
        .concat(path(camera, points))
        .join(' ');
    default:
      return path(camera, points);
  }
}

/** A small cross at each point that may be taken. */
export function crosses(camera: Camera, points: readonly FramePoint[], arm: number): string {
  return points
    .map((p) => {
      const { sx, sy } = toScreen(camera, p);
      return `M${sx - arm} ${sy} h${2 * arm} M${sx} ${sy - arm} v${2 * arm}`;
    })
    .join(' ');
}
