import type { Plane } from '../picture/plane';
import { emptyPlane } from '../picture/plane';
import { pieces } from '../sector/pieces';

/** A dark space with its long axis, working pixels. */
export interface Chamber {
  readonly x: number;
  readonly y: number;
  /** Four standard deviations along and across: the lengths of the axes of an even ellipse. */
  readonly length: number;
  readonly width: number;
  /** Unit vector along it, pointing to the picture's left (the apex's side). */
  readonly axisX: number;
  readonly axisY: number;
  readonly apexX: number;
  readonly apexY: number;
  readonly area: number;
  /** Area against that of the ellipse of the same moments, 0 to 1. */
  readonly solidity: number;
}

export interface Chambers {
  readonly leftVentricle: Chamber | null;
  readonly rightVentricle: Chamber | null;
  readonly leftAtrium: Chamber | null;
}

/** Shrinks dark spaces by two pixels, so that those joined by a narrow gap part, and gives each with its moments. */
export function darkSpaces(plane: Plane, mask: Uint8Array, level: number): Chamber[] {
  const { width, height, values } = plane;
  const dark = new Uint8Array(width * height);
  for (let n = 0; n < dark.length; n += 1) dark[n] = mask[n] === 1 && (values[n] as number) < level ? 1 : 0;
  const core = emptyPlane(width, height);
  const reach = 2;
  for (let y = reach; y < height - reach; y += 1)
    for (let x = reach; x < width - reach; x += 1) {
      let all = 1;
      for (let d = -reach; d <= reach && all === 1; d += 1)
        if (dark[(y + d) * width + x] === 0 || dark[y * width + x + d] === 0) all = 0;
      core.values[y * width + x] = all;
    }
  const { list, marks } = pieces(core, 0.5);
  return list
    .filter((p) => p.pixels > 0.004 * width * height)
    .slice(0, 8)
    .map((piece) => momentsOf(marks, piece.mark, width, reach));
}

function momentsOf(marks: Int32Array, mark: number, width: number, grow: number): Chamber {
  let [n, sx, sy, sxx, syy, sxy] = [0, 0, 0, 0, 0, 0];
  marks.forEach((m, at) => {
    if (m !== mark) return;
    const x = (at % width) + 0.5;
    const y = Math.floor(at / width) + 0.5;
    n += 1;
    sx += x;
    sy += y;
    sxx += x * x;
    syy += y * y;
    sxy += x * y;
  });
  const [x, y] = [sx / n, sy / n];
  const vx = Math.max(0.1, sxx / n - x * x);
  const vy = Math.max(0.1, syy / n - y * y);
  const vxy = sxy / n - x * y;
  const mean = (vx + vy) / 2;
  const off = Math.sqrt(((vx - vy) / 2) * ((vx - vy) / 2) + vxy * vxy);
  const length = 4 * Math.sqrt(mean + off) + 2 * grow;
  const across = 4 * Math.sqrt(Math.max(0.05, mean - off)) + 2 * grow;
  // Direction of the larger variance, turned to the left.
  let ax = Math.abs(vxy) > 1e-9 ? mean + off - vy : vx >= vy ? 1 : 0;
  let ay = Math.abs(vxy) > 1e-9 ? vxy : vx >= vy ? 0 : 1;
  const size = Math.sqrt(ax * ax + ay * ay);
  ax /= size;
  ay /= size;
  if (ax > 0) [ax, ay] = [-ax, -ay];
  const ellipse = (Math.PI / 4) * (length - 2 * grow) * (across - 2 * grow);
  return {
    x,
    y,
    length,
    width: across,
    axisX: ax,
    axisY: ay,
    apexX: x + (ax * length) / 2,
    apexY: y + (ay * length) / 2,
    area: n,
    solidity: Math.min(1, n / Math.max(1, ellipse)),
  };
}

/**
 * Which dark space is which in a right parasternal long axis, base to the right: the left ventricle is the deepest of the
 * large spaces left of or at the middle, the right one lies nearer to the probe over it, the left atrium to its right at about its depth.
 */
export function chambersOf(plane: Plane, mask: Uint8Array, level: number): Chambers {
  const spaces = darkSpaces(plane, mask, level);
  const middle = plane.width * 0.62;
  const left = spaces.filter((s) => s.x < middle && s.y > 0.3 * plane.height);
  const largest = Math.max(0, ...left.map((s) => s.area));
  // A right ventricle that is larger than the left one still lies nearer to the probe.
  const leftVentricle = left.filter((s) => s.area > 0.35 * largest).sort((a, b) => b.y - a.y)[0] ?? null;
  if (!leftVentricle) return { leftVentricle: null, rightVentricle: null, leftAtrium: null };
  const rest = spaces.filter((s) => s !== leftVentricle);
  const rightVentricle =
    rest
      .filter(
        (s) =>
          s.y < leftVentricle.y - 0.3 * leftVentricle.width &&
          s.x < leftVentricle.x + 0.6 * leftVentricle.length,
      )
      .sort((a, b) => b.area - a.area)[0] ?? null;
  const leftAtrium =
    rest
      .filter(
        (s) =>
          s.x > leftVentricle.x + 0.3 * leftVentricle.length &&
          s.y > leftVentricle.y - 0.8 * leftVentricle.width,
      )
      .sort((a, b) => b.area - a.area)[0] ?? null;
  return { leftVentricle, rightVentricle, leftAtrium };
}
