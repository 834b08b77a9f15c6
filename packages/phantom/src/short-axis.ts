import { contraction } from './heart-beat';
import type { HeartSize } from './heart-size';
import { cosine, halfTurn, sine } from './plain-math';
import type { Slice } from './tissue';
import { blood, chestWall, fluid, lineAt, muscle, surround } from './tissue';

export interface ShortAxisPlan {
  readonly size: HeartSize;
  /** Depth of the middle of the left ventricle, cm. */
  readonly centreDepth: number;
  readonly chestCm: number;
}

export function planShortAxis(size: HeartSize): ShortAxisPlan {
  const outer = size.lvIddCm / 2 + size.ivsdCm;
  const chestCm = 0.22 * outer + 0.35;
  return { size, chestCm, centreDepth: chestCm + size.effusionCm + outer * 1.78 };
}

/** Deepest point wanted on the screen, cm. */
export function shortAxisDepth(plan: ShortAxisPlan): number {
  const { size } = plan;
  return plan.centreDepth + (size.lvIddCm / 2 + size.freeWallDCm) * 1.35 + size.effusionCm + 0.6;
}

/**
 * Papillary level: a round cavity with two papillary muscles in its lower half (the mushroom), septum above, right
 * ventricle as a crescent over it, pericardium bright below. Geometry is that of end diastole; the beat moves points
 * by keeping wall area, so walls thicken as they close in.
 */
export function shortAxisSlice(plan: ShortAxisPlan, phase: number): Slice {
  const { size, centreDepth, chestCm } = plan;
  const c = contraction(phase);
  const rD = size.lvIddCm / 2;
  const r = rD - (rD - size.lvIdsCm / 2) * c;
  const wall = (size.ivsdCm + size.freeWallDCm) / 2;
  const outer = rD + wall;
  const rv = { x: -0.28 * outer, y: -0.38 * outer, radius: 1.06 * outer };
  const rvWall = 0.1 * outer;
  const pericardium = outer + size.effusionCm + 0.04 * outer;
  const papillaries = [0.29, 0.72].map((turn) => ({
    x: 0.8 * rD * cosine(halfTurn * turn),
    y: 0.8 * rD * sine(halfTurn * turn),
  }));
  const papillaryRadius = rD * (0.235 + 0.07 * c);
  return (x, depth, echo) => {
    echo.mirror = 0;
    echo.materialX = x;
    echo.materialY = depth;
    if (chestWall(depth, chestCm, echo)) return;
    const y = depth - centreDepth;
    const rho = Math.sqrt(x * x + y * y) + 1e-9;
    const rho0 = rho < r ? (rho * rD) / r : Math.sqrt(rho * rho - r * r + rD * rD);
    const mx = (x / rho) * rho0;
    const my = (y / rho) * rho0;
    echo.materialX = mx;
    echo.materialY = my;
    // Walls seen from the side send little back: the beam runs along them (lateral dropout).
    const facing = (y / rho) * (y / rho);
    if (rho0 < outer) {
      const cavity = rho0 < rD;
      echo.amplitude = cavity ? blood : muscle * (0.42 + 0.58 * facing);
      echo.mirror =
        lineAt(rho0 - rD, 0.022 * outer) * 0.5 * facing + lineAt(rho0 - outer, 0.018 * outer) * 0.35 * facing;
      if (cavity) {
        for (const papillary of papillaries) {
          const dx = mx - papillary.x;
          const dy = my - papillary.y;
          const d = Math.sqrt(dx * dx + dy * dy) / papillaryRadius;
          if (d < 1) {
            echo.amplitude = muscle * 1.25;
            echo.mirror = lineAt(d - 0.93, 0.06) * (dy < 0 ? 0.8 : 0.1);
          }
        }
      }
      return;
    }
    const dx = mx - rv.x;
    const dy = my - rv.y;
    const rvRho = Math.sqrt(dx * dx + dy * dy);
    const rvFacing = (dy / rvRho) * (dy / rvRho);
    if (rvRho < rv.radius) {
      echo.amplitude = blood;
      echo.mirror = lineAt(rvRho - rv.radius, 0.02 * outer) * 0.5 * rvFacing;
      return;
    }
    if (rvRho < rv.radius + rvWall) {
      echo.amplitude = muscle * (0.5 + 0.5 * rvFacing);
      return;
    }
    const beyondHeart = Math.min(rho0 - outer, rvRho - rv.radius - rvWall);
    const beyond = beyondHeart - size.effusionCm;
    if (size.effusionCm > 0 && beyond < 0) {
      echo.amplitude = fluid;
      echo.mirror = lineAt(beyondHeart, 0.02 * outer) * 0.5;
      return;
    }
    surround(beyond, echo);
    const below = rho0 - pericardium < 0.5 ? 0.3 + 1.5 * facing : 0.4;
    echo.mirror = lineAt(beyond - 0.05, 0.035 * outer) * below;
  };
}
