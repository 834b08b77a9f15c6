import { exactExp } from '@chordae/units';
import type { Ellipse } from '../../picture/ellipse';
import type { Grid } from './grid';
import { gridCells } from './grid';
import { gridSide } from './network';

/** A space that the network sees, by the likelihood of each place of the grid. */
export interface FoundSpace {
  readonly likelihood: Float32Array;
  /** Places of its largest piece: 1. */
  readonly piece: Uint8Array;
  /** The ellipse of the same area and second moments, working pixels. */
  readonly ellipse: Ellipse;
  /** 0 to 1: how decided the network is, inside and against other places. */
  readonly sureness: number;
}

/** Likelihoods from the raw outputs of one map. */
export function likelihoods(raw: Float32Array, map: number): Float32Array {
  return Float32Array.from({ length: gridCells }, (_, n) => {
    const v = raw[map * gridCells + n] as number;
    return 1 / (1 + exactExp(-Math.max(-30, Math.min(30, v))));
  });
}

/** Largest connected piece above one half; null where there is none. */
function largestPiece(likelihood: Float32Array): Uint8Array | null {
  const seen = new Uint8Array(gridCells);
  let best: number[] = [];
  for (let start = 0; start < gridCells; start += 1) {
    if (seen[start] === 1 || (likelihood[start] as number) < 0.5) continue;
    const piece = [start];
    seen[start] = 1;
    for (let k = 0; k < piece.length; k += 1) {
      const at = piece[k] as number;
      const x = at % gridSide;
      for (const next of [x > 0 ? at - 1 : -1, x < gridSide - 1 ? at + 1 : -1, at - gridSide, at + gridSide])
        if (next >= 0 && next < gridCells && seen[next] === 0 && (likelihood[next] as number) >= 0.5) {
          seen[next] = 1;
          piece.push(next);
        }
    }
    if (piece.length > best.length) best = piece;
  }
  if (best.length < 3) return null;
  const out = new Uint8Array(gridCells);
  for (const at of best) out[at] = 1;
  return out;
}

/** Whether a place or one of its neighbours belongs to the piece: likelihoods below one half at its rim count in part. */
function nearPiece(piece: Uint8Array, at: number): boolean {
  const x = at % gridSide;
  const y = (at - x) / gridSide;
  for (let dy = -1; dy <= 1; dy += 1)
    for (let dx = -1; dx <= 1; dx += 1) {
      const [nx, ny] = [x + dx, y + dy];
      if (nx >= 0 && ny >= 0 && nx < gridSide && ny < gridSide && piece[ny * gridSide + nx] === 1)
        return true;
    }
  return false;
}

/** Reads one map of the network; null where it sees nothing. */
export function readSpace(raw: Float32Array, map: number, grid: Grid): FoundSpace | null {
  const likelihood = likelihoods(raw, map);
  const piece = largestPiece(likelihood);
  if (!piece) return null;
  let [area, sx, sy, sxx, syy, sxy] = [0, 0, 0, 0, 0, 0];
  let [within, count, elsewhere] = [0, 0, 0];
  for (let n = 0; n < gridCells; n += 1) {
    const p = likelihood[n] as number;
    if (piece[n] === 1) {
      within += p;
      count += 1;
    }
    if (!nearPiece(piece, n)) {
      elsewhere += p;
      continue;
    }
    const x = (n % gridSide) + 0.5;
    const y = Math.floor(n / gridSide) + 0.5;
    area += p;
    sx += p * x;
    sy += p * y;
    sxx += p * x * x;
    syy += p * y * y;
    sxy += p * x * y;
  }
  const [mx, my] = [sx / area, sy / area];
  // The rim's softness widens the moments by about a sixth of a place each way.
  const vx = Math.max(0.05, sxx / area - mx * mx - 1 / 6);
  const vy = Math.max(0.05, syy / area - my * my - 1 / 6);
  const vxy = sxy / area - mx * my;
  const root = Math.sqrt(Math.max(1e-6, vx * vy - vxy * vxy));
  const decided = Math.max(0, Math.min(1, (within / count - 0.6) / 0.3));
  return {
    likelihood,
    piece,
    ellipse: {
      cx: grid.x0 + mx * grid.cell,
      cy: grid.y0 + my * grid.cell,
      radius: Math.sqrt(area / Math.PI) * grid.cell,
      u: (vx - vy) / (2 * root),
      v: vxy / root,
    },
    sureness: decided * Math.max(0, 1 - elsewhere / area),
  };
}
