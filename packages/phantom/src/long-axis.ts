import { contraction, mitralOpening } from './heart-beat';
import type { HeartSize } from './heart-size';
import type { Echo, Slice } from './tissue';
import { blood, chestWall, fluid, lineAt, muscle, surround } from './tissue';

export interface LongAxisPlan {
  readonly size: HeartSize;
  readonly centreDepth: number;
  readonly chestCm: number;
  /** Half length of the ventricle's ellipse, and where the mitral ring cuts it, cm from the middle of the picture. */
  readonly halfLength: number;
  readonly ring: number;
}

export function planLongAxis(size: HeartSize): LongAxisPlan {
  const outer = size.lvIddCm / 2 + size.ivsdCm;
  const chestCm = 0.22 * outer + 0.3;
  const halfLength = 1.18 * size.lvIddCm;
  return {
    size,
    chestCm,
    centreDepth: chestCm + size.effusionCm + outer * 1.75,
    halfLength,
    ring: 0.46 * halfLength,
  };
}

export function longAxisDepth(plan: LongAxisPlan): number {
  const { size } = plan;
  return plan.centreDepth + (size.lvIddCm / 2 + size.freeWallDCm) * 1.45 + size.effusionCm + 0.6;
}

/** Distance of a point from a line piece, cm. */
function fromPiece(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  const ux = bx - ax;
  const uy = by - ay;
  const t = Math.max(0, Math.min(1, ((px - ax) * ux + (py - ay) * uy) / (ux * ux + uy * uy)));
  const dx = px - ax - t * ux;
  const dy = py - ay - t * uy;
  return Math.sqrt(dx * dx + dy * dy);
}

/**
 * Right parasternal long axis, four chambers: apex to the left, base to the right; left ventricle lying across the
 * picture, left atrium to its right, mitral leaflets between; right ventricle and atrium above, with the tricuspid
 * leaflets; septum and atrial septum as one level line.
 */
export function longAxisSlice(plan: LongAxisPlan, phase: number): Slice {
  const { size, centreDepth, chestCm, halfLength: a, ring } = plan;
  const c = contraction(phase);
  const open = mitralOpening(phase);
  const bD = size.lvIddCm / 2;
  const b = bD - (bD - size.lvIdsCm / 2) * c;
  const ivs = size.ivsdCm;
  const fw = size.freeWallDCm;
  const unit = bD + ivs;
  const atrium = { x: ring + 0.98 * bD, y: 0.14 * bD, rx: 1.02 * bD, ry: 0.98 * bD };
  const baseShift = 0.1 * a * c;
  return (x, depth, echo) => {
    echo.mirror = 0;
    echo.materialX = x;
    echo.materialY = depth;
    if (chestWall(depth, chestCm, echo)) return;
    const v = depth - centreDepth;
    // The base moves towards the apex in systole; the apex stands still.
    const along = Math.max(0, Math.min(1, (x + a) / (ring + a)));
    const far = Math.max(0, 1 - Math.max(0, x - ring) / (3 * bD));
    const u = x + baseShift * along * far;
    const h = Math.max(0.02, 1 - (Math.min(u, ring) / a) * (Math.min(u, ring) / a));
    const half = b * Math.sqrt(h);
    const halfD = bD * Math.sqrt(h);
    const inside = v < half && v > -half;
    const fade = u > ring ? Math.max(0, 1 - (u - ring) / (1.2 * bD)) : 1;
    const moved = inside
      ? (v * halfD) / half
      : Math.sqrt(v * v + (halfD * halfD - half * half)) * (v < 0 ? -1 : 1);
    const w = v + (moved - v) * fade;
    echo.materialX = u;
    echo.materialY = w;
    place(u, w, echo);
    if (u > ring - 1.3 * bD && u < ring + 0.3 * bD) leaflets(u, w, echo);
  };

  function place(u: number, w: number, echo: Echo): void {
    const e = (u / a) * (u / a);
    const inner = e + (w / bD) * (w / bD);
    const ventricle = u < ring;
    if (ventricle && inner < 1) {
      echo.amplitude = blood;
      const rim = 1 - Math.sqrt(inner);
      echo.mirror = lineAt(rim, 0.02) * 0.5;
      // Papillary muscle of the free wall, cut along.
      const tendon = fromPiece(u, w, -0.12 * a, 0.4 * bD, ring - 0.5 * bD, 0.12 * bD);
      echo.mirror = Math.max(echo.mirror, 0.18 * lineAt(tendon, 0.015 * unit));
      if (fromPiece(u, w, -0.62 * a, 0.74 * bD, -0.2 * a, 0.46 * bD) < 0.15 * bD)
        echo.amplitude = muscle * 1.1;
      return;
    }
    const dx = (u - atrium.x) / atrium.rx;
    const dy = (w - atrium.y) / atrium.ry;
    const la = Math.sqrt(dx * dx + dy * dy);
    if (!ventricle && la < 1) {
      echo.amplitude = blood;
      echo.mirror = lineAt(1 - la, 0.03) * 0.4 * dy * dy;
      return;
    }
    if (ventricle) {
      const wall = w < 0 ? ivs : fw;
      const outer = (u / (a + wall)) * (u / (a + wall)) + (w / (bD + wall)) * (w / (bD + wall));
      if (outer < 1) {
        const steep = Math.min(1, (w / bD) * (w / bD));
        echo.amplitude = muscle * (0.45 + 0.55 * steep);
        echo.mirror = lineAt(1 - Math.sqrt(outer), 0.012) * 0.3 * steep;
        return;
      }
    } else if (la < 1 + 0.16) {
      echo.amplitude = muscle * (0.5 + 0.5 * dy * dy);
      echo.mirror = lineAt(la - 1.08, 0.05) * 0.35 * dy * dy;
      return;
    }
    rightHeart(u, w, echo);
  }

  function rightHeart(u: number, w: number, echo: Echo): void {
    // Right ventricle: a wedge over the septum that ends before the apex; right atrium rounder, above the left one.
    const rvTop = -bD - ivs - 0.62 * bD * Math.max(0, Math.min(1, (u + 0.82 * a) / (0.9 * a)));
    const raX = (u - (ring + 0.85 * bD)) / (0.95 * bD);
    const raY = (w + bD * 1.42) / (0.62 * bD);
    const ra = raX * raX + raY * raY;
    const rv = u > -0.82 * a && u < ring + 0.05 * bD && w > rvTop && w < 0;
    if (rv || ra < 1) {
      echo.amplitude = blood;
      const gap = Math.abs(u - (ring + 0.02 * bD));
      // Tricuspid leaflets: shut in systole, apart in diastole.
      const swing = 0.42 * bD * open;
      const high = fromPiece(
        u,
        w,
        ring,
        rvTop + 0.05 * bD,
        ring - swing - 0.05 * bD,
        -1.62 * bD + (open > 0.2 ? -0.18 * bD : 0.16 * bD),
      );
      const low = fromPiece(
        u,
        w,
        ring,
        -bD - ivs * 0.7,
        ring - swing - 0.05 * bD,
        -1.42 * bD + (open > 0.2 ? 0.12 * bD : -0.05 * bD),
      );
      echo.mirror = lineAt(Math.min(high, low), 0.03 * unit) * 0.9 * (gap < bD ? 1 : 0);
      return;
    }
    const beyondRv = u > -0.82 * a - 0.2 * unit && u < ring + 0.05 * bD && w < 0 ? rvTop - w : 9;
    const beyondRa = (Math.sqrt(ra) - 1) * 0.7 * bD;
    const wall = w < 0 ? ivs : fw;
    const rim = Math.sqrt((u / (a + wall)) * (u / (a + wall)) + (w / (bD + wall)) * (w / (bD + wall)));
    const beyondLv = u < ring ? (rim - 1) * (bD + wall) : 9;
    const dx = (u - atrium.x) / atrium.rx;
    const dy = (w - atrium.y) / atrium.ry;
    const beyondLa = u >= ring - 0.2 * bD ? (Math.sqrt(dx * dx + dy * dy) - 1.16) * bD : 9;
    const rvWall = 0.12 * unit;
    const nearRv = Math.min(beyondRv, beyondRa);
    if (nearRv < rvWall) {
      echo.amplitude = muscle * 0.9;
      return;
    }
    const beyondHeart = Math.min(beyondLv, beyondLa, nearRv - rvWall);
    const beyond = beyondHeart - size.effusionCm;
    if (size.effusionCm > 0 && beyond < 0) {
      echo.amplitude = fluid;
      echo.mirror = lineAt(beyondHeart, 0.02 * unit) * 0.4;
      return;
    }
    surround(Math.max(0, beyond), echo);
    echo.mirror = lineAt(beyond - 0.04, 0.035 * unit) * (w > 0 ? 1.5 : 0.5);
  }

  /** Mitral leaflets from ring to tips; shut they meet a little on the ventricle's side, open they lie near the walls. */
  function leaflets(u: number, w: number, echo: Echo): void {
    const ringHalf = bD * Math.sqrt(1 - (ring / a) * (ring / a));
    const length = 0.95 * bD;
    const tipX = ring - 0.25 * bD - (length - 0.35 * bD) * open;
    const septal = fromPiece(u, w, ring, -ringHalf, tipX, -0.06 * bD - 0.62 * bD * open);
    const free = fromPiece(u, w, ring, ringHalf, tipX + 0.1 * bD, 0.06 * bD + 0.6 * bD * open);
    const line = lineAt(Math.min(septal, free), 0.032 * unit);
    if (line > 0) {
      echo.mirror = Math.max(echo.mirror, line * 1.0);
      echo.amplitude = Math.max(echo.amplitude, 0.3 * line);
    }
  }
}
