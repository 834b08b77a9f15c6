import { exactPow } from '@chordae/units';
import type { CutPlane } from './cut-plane';
import type { Echo } from './echo';
import { makeEcho } from './echo';
import type { HeartEcho } from './heart';
import type { Recipe } from './recipe';
import type { Speckle } from './speckle';
import { lookUp } from './speckle';

/** Raw echoes of all beams, beam by beam: speckle as a complex number, mirror-like echoes apart. */
export interface Sheets {
  readonly real: Float32Array;
  readonly imaginary: Float32Array;
  readonly mirror: Float32Array;
  readonly spare: Float32Array;
}

export function makeSheets(size: number): Sheets {
  return {
    real: new Float32Array(size),
    imaginary: new Float32Array(size),
    mirror: new Float32Array(size),
    spare: new Float32Array(size),
  };
}

/** One beam: direction in the plane, gain, and where its samples go. */
export interface Beam {
  readonly sin: number;
  readonly cos: number;
  readonly gain: number;
  readonly from: number;
}

export interface Sounder {
  /** Follows a beam through the heart. */
  sound(heart: HeartEcho, plane: CutPlane, beam: Beam): void;
  seed(seed: number): void;
}

/** Prepares the following of beams. `level` and `noiseLevel` make up for what pulse and beam blur away. */
export function makeSounder(s: {
  readonly faceCm: number;
  readonly depthCm: number;
  readonly samples: number;
  readonly recipe: Recipe;
  readonly speckle: Speckle;
  readonly sheets: Sheets;
  readonly level: number;
  readonly noiseLevel: number;
}): Sounder {
  const { faceCm, depthCm, samples, recipe, speckle } = s;
  const { real, imaginary, mirror } = s.sheets;
  const echo: Echo = makeEcho();
  const step = depthCm / (samples - 1);
  const grain = recipe.grainPerCm / Math.sqrt(depthCm / 10);
  const line = 0.035 * Math.sqrt(depthCm / 10) + 0.6 * step;
  const fade = exactPow(10, -recipe.fadeDb / 20 / samples);
  const noise = 0.0045 * recipe.noise * s.noiseLevel;
  const drop = 0.6 * recipe.dropout;
  const found = new Float64Array(2);
  let state = 1;
  const sound = (heart: HeartEcho, plane: CutPlane, beam: Beam): void => {
    const { right, down, target } = plane;
    const { sin, cos } = beam;
    const stepR = (right.r * sin + down.r * cos) * step;
    const stepD = (right.d * sin + down.d * cos) * step;
    const stepW = (right.w * sin + down.w * cos) * step;
    const x0 = faceCm * sin;
    const y0 = faceCm * cos - faceCm - plane.targetDepth;
    let r = target.r + right.r * x0 + down.r * y0;
    let d = target.d + right.d * x0 + down.d * y0;
    let w = target.w + right.w * x0 + down.w * y0;
    let gain = beam.gain;
    let before = 0;
    let facing = 1;
    for (let n = 0; n < samples; n += 1) {
      const deep = (faceCm + n * step) * cos - faceCm;
      if (deep < plane.chest) chestWall(deep / plane.chest, r, d, w, echo);
      else heart(r, d, w, echo);
      // A distance that changes by a whole step per step is met squarely.
      const distance = echo[1] as number;
      const cosine = Math.min(1, Math.abs(distance - before) / step);
      before = distance;
      facing = 0.55 * facing + 0.45 * cosine;
      const square = facing * facing;
      const angled = 1 - (echo[7] as number) * drop * (1 - square);
      gain *= fade * (1 - 0.028 * step * ((echo[6] as number) - 0.8));
      const where = beam.from + n;
      lookUp(
        speckle,
        (echo[3] as number) * grain,
        (echo[4] as number) * grain,
        (echo[5] as number) * grain,
        found,
      );
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      const hiss = noise * (0.6 + (1.6 * n) / samples) * (state / 2147483648 - 1);
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      const hush = noise * (0.6 + (1.6 * n) / samples) * (state / 2147483648 - 1);
      const dark = (echo[6] as number) < 0.6 ? recipe.bloodEcho : 0;
      const amplitude = ((echo[0] as number) + dark) * angled * gain * s.level;
      const re = found[0] as number;
      real[where] = re * amplitude + hiss;
      imaginary[where] = (found[1] as number) * amplitude + hush;
      const near = distance / (2 * line);
      let shine = 0;
      if (near < 1 && near > -1) {
        const t = 1 - near * near;
        shine = (echo[2] as number) * t * t * (0.05 + 1.9 * square * square) * gain * recipe.mirror;
      }
      mirror[where] = shine * (0.75 + 0.2 * re);
      r += stepR;
      d += stepD;
      w += stepW;
    }
  };
  return {
    sound,
    seed(seed) {
      state = Math.imul(seed, 0x9e3779b1) >>> 0 || 1;
    },
  };
}

/** Skin, fat and muscle near the probe: layered bright bands. `t` from 0 at the skin to 1 at the heart's side. */
function chestWall(t: number, r: number, d: number, w: number, echo: Echo): void {
  const band = Math.min(Math.abs(t - 0.28), Math.abs(t - 0.6), Math.abs(t - 0.95));
  echo[0] = t < 0.12 ? 0.6 : 0.36 - 0.1 * t;
  echo[1] = band;
  echo[2] = t < 0.45 ? 0.7 : 0.5;
  echo[3] = r;
  echo[4] = d;
  echo[5] = w;
  echo[6] = 1;
  echo[7] = 0;
}
