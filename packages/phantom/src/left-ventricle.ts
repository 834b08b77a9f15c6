import type { Anatomy } from './anatomy';
import type { Moment } from './heart-beat';

/** The moving left ventricle: its outline now, and the way from a place now to the same tissue's place at end diastole. */
export interface MovingVentricle {
  /** Distance of the cavity's wall from the axis now, cm, at a height of the still heart and a direction; 0 beyond the apex. */
  innerNow(height: number, cos: number, sin: number): number;
  /** Height at end diastole of what is now at this height. */
  stillHeight(w: number): number;
  /** Finds the tissue: fills r, d, w at end diastole. */
  still(r: number, d: number, w: number, place: Float64Array): void;
  /** Signed distance to the cavity's wall and to the outer surface at end diastole. */
  inner(r: number, d: number, w: number): number;
  outer(r: number, d: number, w: number): number;
}

/**
 * Contraction that keeps the volume of muscle: the cavity narrows, the base moves to the apex, and a ring of wall keeps area
 * times length. The septum side is the chest side (d < 0).
 */
export function moveVentricle(anatomy: Anatomy, moment: Moment): MovingVentricle {
  const { radius, halfLength, base, size, unit: u, harmonics } = anatomy;
  const c = moment.contraction;
  const narrow = 1 - (1 - size.lvIdsCm / size.lvIddCm) * c;
  const shift = anatomy.shortening * (base + halfLength) * c;
  const stretch = 1 - shift / (base + halfLength);
  const baseNow = base - shift;
  const reach = 2.2 * u;
  const flatD = size.septumFlatD;
  const flatNow = flatD + (size.septumFlatS - flatD) * c;
  const ivs = size.ivsdCm;
  const fw = size.freeWallDCm;
  const apex = 0.75 * fw;

  /** Radius of the outline against a circle's: flattened septum and waves. */
  const shape = (cos: number, sin: number, flat: number): number => {
    let out = 1;
    if (flat > 0 && cos < 0) {
      const chord = (1 - flat) / Math.max(0.05, -cos);
      const gap = 1 - chord;
      out = 0.5 * (1 + chord - Math.sqrt(gap * gap + 0.012));
    }
    if (harmonics.length > 0) {
      let cn = cos;
      let sn = sin;
      for (const wave of harmonics) {
        const next = cn * cos - sn * sin;
        sn = sn * cos + cn * sin;
        cn = next;
        out += wave.cos * cn + wave.sin * sn;
      }
    }
    return out;
  };
  const height = (w: number): number => Math.sqrt(Math.max(0, 1 - (w / halfLength) * (w / halfLength)));
  /** Above the base the narrowing fades: atria and vessels do not contract with the ventricle. */
  const narrowAt = (w: number): number => {
    if (w <= base) return narrow;
    const t = Math.min(1, (w - base) / (0.9 * u));
    return narrow + (1 - narrow) * t;
  };
  const stillHeight = (w: number): number => {
    if (w < baseNow) return -halfLength + (w + halfLength) / stretch;
    const above = w - baseNow;
    return above < reach ? base + (above * (reach - shift)) / reach : w;
  };
  const radiusAt = (w: number): number => radius * Math.max(0.3, height(Math.min(w, base)));
  return {
    stillHeight,
    innerNow(w, cos, sin) {
      return radius * height(w) * narrowAt(w) * shape(cos, sin, flatNow);
    },
    still(r, d, w, place) {
      const rho = Math.sqrt(r * r + d * d) + 1e-9;
      const cos = d / rho;
      const sin = r / rho;
      const w0 = stillHeight(w);
      const plain = w0 < -halfLength ? 0 : w0 < base ? radius * height(w0) : radiusAt(w0);
      const then = plain * shape(cos, sin, flatD);
      const now =
        plain * narrowAt(w0) * (flatNow === flatD ? then / (plain + 1e-9) : shape(cos, sin, flatNow));
      const rho0 =
        rho < now
          ? (rho * then) / now
          : Math.sqrt(Math.max(0, then * then + stretch * (rho * rho - now * now)));
      place[0] = (r * rho0) / rho;
      place[1] = (d * rho0) / rho;
      place[2] = w0;
    },
    inner(r, d, w) {
      const rho = Math.sqrt(r * r + d * d) + 1e-9;
      const across = radius * shape(d / rho, r / rho, flatD);
      const x = rho / across;
      const z = w / halfLength;
      const k = Math.sqrt(x * x + z * z) + 1e-9;
      const gx = x / across;
      const gz = z / halfLength;
      return (k * (k - 1)) / Math.sqrt(gx * gx + gz * gz);
    },
    outer(r, d, w) {
      const rho = Math.sqrt(r * r + d * d) + 1e-9;
      const cos = d / rho;
      const wall = fw + (ivs - fw) * 0.5 * (1 - cos);
      const across = radius * shape(cos, r / rho, flatD) + wall;
      const along = halfLength + apex;
      const x = rho / across;
      const z = w / along;
      const k = Math.sqrt(x * x + z * z) + 1e-9;
      const gx = x / across;
      const gz = z / along;
      return (k * (k - 1)) / Math.sqrt(gx * gx + gz * gz);
    },
  };
}
