import type { CutPlane } from './cut-plane';
import type { Echo } from './echo';
import { put } from './echo';
import type { HeartEcho } from './heart';
import { vector } from './vectors';

/** What a lung point shows: pleural line between two ribs, its mirror images below it, and B-lines where lung is wet. */
export interface LungPoint {
  /** Depth of the pleural line and half the distance between the ribs' middles, cm. */
  readonly pleuraCm: number;
  readonly ribCm: number;
  /** Place of each B-line across, cm from the middle, at rest. */
  readonly bLinesCm: readonly number[];
  /** How far the lung slides with a breath, cm. */
  readonly slideCm: number;
}

export function lungPoint(unitCm: number, bLines: number): LungPoint {
  const ribCm = 1.15 * unitCm;
  return {
    pleuraCm: 0.75 * unitCm + 0.2,
    ribCm,
    bLinesCm: Array.from(
      { length: bLines },
      (_, n) => (bLines === 1 ? 0.1 : -0.62 + (1.24 * n) / (bLines - 1)) * ribCm,
    ),
    slideCm: 0.16 * unitCm,
  };
}

/** The picture at a moment of the breath (`breath` from -1 to 1). Here r is across and d is depth, both in cm. */
export function lungAt(point: LungPoint, breath: number): HeartEcho {
  const { pleuraCm, ribCm, bLinesCm, slideCm } = point;
  const slide = slideCm * breath;
  const ribTop = 0.52 * pleuraCm;
  const ribHalf = 0.3 * ribCm;
  return (r, d, w, echo) => {
    // B-lines and rib shadows run along the beams, which spread: follow the beam back to the pleura.
    const spreadBack = (pleuraCm + 1.4 * ribCm) / (d + 1.4 * ribCm);
    const across = d > pleuraCm ? r * spreadBack : r;
    const rib = Math.min(Math.abs(r - ribCm), Math.abs(r + ribCm));
    const ribDepth = ribTop + 0.28 * (rib / ribHalf) * (rib / ribHalf) * ribHalf;
    const shadowed = Math.min(Math.abs(across - ribCm), Math.abs(across + ribCm)) < ribHalf;
    echo[3] = r;
    echo[4] = d;
    echo[5] = w;
    if (rib < ribHalf && d > ribDepth - 0.1 * pleuraCm && d < ribDepth + 0.12 * pleuraCm) {
      put(echo, 0.5, Math.abs(d - ribDepth), 1.6, 1, 0);
      return;
    }
    if (shadowed && d > ribTop) {
      put(echo, 0.012, 1, 0, 0.7, 0);
      return;
    }
    if (d < pleuraCm - 0.05 * pleuraCm) {
      put(echo, 0.26, Math.abs(d - 0.3 * pleuraCm), 0.5, 1, 0);
      return;
    }
    belowPleura(across, d, echo);
  };

  function belowPleura(across: number, d: number, echo: Echo): void {
    echo[3] = across - slide;
    let wet = 0;
    for (const line of bLinesCm) {
      const off = Math.abs(across - line - slide) / (0.075 * ribCm);
      if (off < 1) wet = Math.max(wet, 1 - off * off);
    }
    const turns = d / pleuraCm;
    const whole = Math.max(1, Math.round(turns));
    const strength = whole === 1 ? 1.9 : 0.55 / whole;
    const haze = 0.12 / (1 + 1.3 * (turns - 1));
    put(
      echo,
      haze + 0.62 * wet,
      (turns - whole) * pleuraCm,
      strength * (1 - 0.8 * wet * (whole > 1 ? 1 : 0)),
      0.8,
      0,
    );
  }
}

export function lungPlane(point: LungPoint): CutPlane {
  return {
    target: vector(0, 0, 0),
    right: vector(1, 0, 0),
    down: vector(0, 1, 0),
    normal: vector(0, 0, 1),
    targetDepth: 0,
    depth: 5.2 * point.pleuraCm,
    chest: 0.16 * point.pleuraCm,
  };
}
