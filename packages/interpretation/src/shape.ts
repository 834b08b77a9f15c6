import { Z95 } from './uncertainty';

/**
 * How an index follows from its inputs a, b, c, d. One description gives the value, the interval and, turned round, the
 * input that would bring the index to a bound.
 */
export type Shape =
  /** by · a */
  | { kind: 'proportional'; by: number }
  /** by · a / b */
  | { kind: 'ratio'; by: number }
  /** by · a / b² */
  | { kind: 'ratio-square'; by: number }
  /** 100 · (a − b) / a */
  | { kind: 'less' }
  /** 4 · a² (simplified Bernoulli) */
  | { kind: 'square' }
  /** 4 · (a² − b²) (Bernoulli with the velocity before the narrowing) */
  | { kind: 'square-less' }
  /** (a² · b) / (c² · d): flow through one circular outlet over flow through another */
  | { kind: 'flows' }
  /** 100 · (V(a) − V(b)) / V(a), V(D) = 7 / (2.4 + D/10) · (D/10)³ (Teichholz 1976), D in mm */
  | { kind: 'teichholz' };

/** Left ventricular volume in ml by Teichholz 1976: 7 / (2.4 + D) · D³, D in cm. `teichholzMl(4)` is 70. */
export function teichholzMl(diameterCm: number): number {
  return (7 / (2.4 + diameterCm)) * diameterCm * diameterCm * diameterCm;
}

/** Value of a shape for its inputs in order, or null where it divides by nothing. */
export function shapeValue(shape: Shape, x: readonly number[]): number | null {
  const a = x[0] ?? 0;
  const b = x[1] ?? 0;
  const c = x[2] ?? 0;
  const d = x[3] ?? 0;
  switch (shape.kind) {
    case 'proportional':
      return shape.by * a;
    case 'ratio':
      return b > 0 ? (shape.by * a) / b : null;
    case 'ratio-square':
      return b > 0 ? (shape.by * a) / (b * b) : null;
    case 'less':
      return a > 0 ? (100 * (a - b)) / a : null;
    case 'square':
      return 4 * a * a;
    case 'square-less':
      return a > b ? 4 * (a * a - b * b) : null;
    case 'flows':
      return c > 0 && d > 0 ? (a * a * b) / (c * c * d) : null;
    case 'teichholz': {
      const whole = teichholzMl(a / 10);
      return whole > 0 ? (100 * (whole - teichholzMl(b / 10))) / whole : null;
    }
  }
}

/**
 * The value that input number `at` would need for the index to be `target`, the others unchanged; null where none is
 * positive or the shape is not turned round (Teichholz is never graded, so nothing asks for it).
 */
export function shapeSolve(shape: Shape, x: readonly number[], at: number, target: number): number | null {
  const found = solved(shape, x, at, target);
  return found !== null && Number.isFinite(found) && found > 0 ? found : null;
}

function solved(shape: Shape, x: readonly number[], at: number, target: number): number | null {
  const [a = 0, b = 0, c = 0, d = 0] = x;
  switch (shape.kind) {
    case 'proportional':
      return target / shape.by;
    case 'ratio':
      return at === 0 ? (target * b) / shape.by : (shape.by * a) / target;
    case 'ratio-square':
      return at === 0 ? (target * b * b) / shape.by : Math.sqrt((shape.by * a) / target);
    case 'less':
      return at === 0 ? b / (1 - target / 100) : a * (1 - target / 100);
    case 'square':
      return Math.sqrt(target / 4);
    case 'square-less':
      return at === 0 ? Math.sqrt(target / 4 + b * b) : Math.sqrt(a * a - target / 4);
    case 'flows':
      if (at === 0) return Math.sqrt((target * c * c * d) / b);
      if (at === 1) return (target * c * c * d) / (a * a);
      return at === 2 ? Math.sqrt((a * a * b) / (target * d)) : (a * a * b) / (target * c * c);
    case 'teichholz':
      return null;
  }
}

/**
 * 95 % interval of a quotient of two independent normal values by Fieller's theorem (Fieller EC. J R Stat Soc B
 * 1954;16:175-185), relative standard deviations in percent. null where the denominator is not told from zero.
 */
export function ratioInterval(ratio: number, cvTop: number, cvBottom: number): [number, number] | null {
  const top = (Z95 * cvTop) / 100;
  const bottom = (Z95 * cvBottom) / 100;
  const g = bottom * bottom;
  if (g >= 1) return null;
  const half = Math.sqrt(top * top + g - top * top * g);
  return [(ratio * (1 - half)) / (1 - g), (ratio * (1 + half)) / (1 - g)];
}

/** 95 % interval of a shape from its inputs' coefficients of variation (percent): exact for one input and for quotients, else by the delta method. */
export function shapeInterval(
  shape: Shape,
  x: readonly number[],
  cvPercent: readonly (number | null)[],
): [number, number] | null {
  const value = shapeValue(shape, x);
  if (value === null) return null;
  for (let i = 0; i < x.length; i += 1) if (cvPercent[i] === null) return null;
  const ca = cvPercent[0] ?? 0;
  const cb = cvPercent[1] ?? 0;
  const cc = cvPercent[2] ?? 0;
  const cd = cvPercent[3] ?? 0;
  const a = x[0] ?? 0;
  const b = x[1] ?? 0;
  switch (shape.kind) {
    case 'proportional':
      return around(value, ca);
    case 'ratio':
      return ratioInterval(value, ca, cb);
    case 'less': {
      const rest = ratioInterval(b / a, cb, ca);
      return rest ? [100 * (1 - rest[1]), 100 * (1 - rest[0])] : null;
    }
    case 'square': {
      const low = Math.max(0, a * (1 - (Z95 * ca) / 100));
      const high = a * (1 + (Z95 * ca) / 100);
      return [4 * low * low, 4 * high * high];
    }
    case 'ratio-square':
      return around(value, Math.sqrt(ca * ca + 4 * cb * cb));
    case 'square-less': {
      const sdA = (8 * a * a * ca) / 100;
      const sdB = (8 * b * b * cb) / 100;
      const half = Z95 * Math.sqrt(sdA * sdA + sdB * sdB);
      return [value - half, value + half];
    }
    case 'flows':
      return around(value, Math.sqrt(4 * ca * ca + cb * cb + 4 * cc * cc + cd * cd));
    case 'teichholz':
      return null;
  }
}

function around(value: number, cv: number): [number, number] {
  const half = (Z95 * Math.abs(value) * cv) / 100;
  return [value - half, value + half];
}
