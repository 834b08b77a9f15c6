import { exactLog, exactPow } from '@chordae/units';
import type { CutPlane } from './cut-plane';
import type { Echo } from './echo';
import { makeEcho } from './echo';
import type { BeamGrid, Fan, PixelMap } from './fan';
import { beamGrid, pixelMap } from './fan';
import type { HeartEcho } from './heart';
import type { Random } from './random';
import { normalish } from './random';
import type { Recipe } from './recipe';
import { blurAcross, blurAlong, gaussTaps, spread } from './spread';

/** Edge of the periodic block of scatterers. */
const block = 64;

/** Speckle fixed in the tissue: a periodic block of complex scatterer sums, real and imaginary side by side. */
export type Speckle = Float32Array;

export function makeSpeckle(random: Random): Speckle {
  const speckle = new Float32Array(2 * block * block * block);
  for (let n = 0; n < speckle.length; n += 1) speckle[n] = normalish(random);
  return speckle;
}

/** Grey of an amplitude, as a table over √amplitude so that dark ones are as finely told apart. */
const levels = 4096;
const topAmplitude = 6;

function compression(recipe: Recipe): Uint8Array {
  const low = -recipe.dynamicDb + 12;
  return Uint8Array.from({ length: levels }, (_, n) => {
    const root = (n + 0.5) / levels;
    const db = (20 / Math.LN10) * exactLog(root * root * topAmplitude) + recipe.gainDb;
    const part = Math.max(0, Math.min(1, (db - low) / recipe.dynamicDb));
    return Math.round(255 * (part <= 0 ? 0 : exactPow(part, recipe.gamma)));
  });
}

export interface Scanner {
  readonly fan: Fan;
  /** Draws one moment of a heart, cut by a plane, into a picture of luma, over what is there. `frame` seeds its noise. */
  draw(heart: HeartEcho, plane: CutPlane, luma: Uint8Array, frame: number): void;
}

interface Sheets {
  readonly real: Float32Array;
  readonly imaginary: Float32Array;
  readonly mirror: Float32Array;
  readonly spare: Float32Array;
}

/** Prepares the beams and the way from beams to pixels once for a clip. */
export function makeScanner(fan: Fan, recipe: Recipe, speckle: Speckle, random: Random): Scanner {
  const grid = beamGrid(fan);
  const map = pixelMap(fan, grid);
  const size = grid.beams * grid.samples;
  const sheets: Sheets = {
    real: new Float32Array(size),
    imaginary: new Float32Array(size),
    mirror: new Float32Array(size),
    spare: new Float32Array(size),
  };
  const bright = new Float32Array(size);
  const window = acousticWindow(grid, recipe, random);
  const table = compression(recipe);
  const noiseSeed = Math.floor(random() * 0x7fffffff);
  const perSample = fan.depthCm / (grid.samples - 1);
  const along = gaussTaps(Math.max(0.6, (recipe.pulseCm * Math.sqrt(fan.depthCm / 10)) / perSample));
  const across = gaussTaps(Math.max(0.6, (recipe.beamWidth * grid.beams) / 200));
  const level = speckleLevel({ fan, grid, speckle, recipe }, along, across, sheets);
  const noiseLevel = 1.7 / Math.sqrt(sumOfSquares(along) * sumOfSquares(across));
  const hazeWide = Math.max(3, Math.round(grid.beams * 0.09));
  return {
    fan,
    draw(heart, plane, luma, frame) {
      sound(
        { fan, grid, recipe, speckle, window, sheets, level, noiseLevel, seed: noiseSeed + 7919 * frame },
        heart,
        plane,
      );
      for (const sheet of [sheets.real, sheets.imaginary, sheets.mirror]) {
        blurAlong(sheet, grid, along, sheets.spare);
        blurAcross(sheet, grid, across, sheets.spare);
      }
      envelope(sheets, grid, recipe, hazeWide, table, bright);
      toPixels(map, grid.samples, bright, luma);
    },
  };
}

/** How well each beam comes through the chest: slow waves, edges of the fan a little darker, shadows. */
function acousticWindow(grid: BeamGrid, recipe: Recipe, random: Random): Float32Array {
  const window = new Float32Array(grid.beams);
  const knots = Array.from({ length: 9 }, () => 0.82 + 0.3 * random());
  for (let n = 0; n < grid.beams; n += 1) {
    const place = (2 * n) / (grid.beams - 1) - 1;
    const knot = ((place + 1) / 2) * 7.999;
    const k = Math.floor(knot);
    const t = knot - k;
    const smooth = t * t * (3 - 2 * t);
    let gain = (knots[k] as number) * (1 - smooth) + (knots[k + 1] as number) * smooth;
    const edge = Math.abs(place);
    if (edge > 0.8) gain *= 1 - 1.6 * (edge - 0.8);
    for (const shadow of recipe.shadows) {
      const off = Math.abs(place - shadow.centre) / shadow.half;
      if (off < 1) gain *= 1 - shadow.dark * Math.min(1, 2.5 * (1 - off));
    }
    window[n] = gain;
  }
  return window;
}

interface Sounding {
  readonly fan: Fan;
  readonly grid: BeamGrid;
  readonly recipe: Recipe;
  readonly speckle: Speckle;
  readonly window: Float32Array;
  readonly sheets: Sheets;
  readonly level: number;
  readonly noiseLevel: number;
  readonly seed: number;
}

function sumOfSquares(taps: Float64Array): number {
  return taps.reduce((sum, tap) => sum + tap * tap, 0);
}

/** What speckle of amplitude 1 must be multiplied with, so that it has amplitude 1 after the blur of pulse and beam. */
function speckleLevel(
  s: { readonly fan: Fan; readonly grid: BeamGrid; readonly speckle: Speckle; readonly recipe: Recipe },
  along: Float64Array,
  across: Float64Array,
  sheets: Sheets,
): number {
  const { fan, grid } = s;
  const step = fan.depthCm / (grid.samples - 1);
  const grain = s.recipe.grainPerCm / Math.sqrt(fan.depthCm / 10);
  const found = new Float64Array(2);
  for (let beam = 0; beam < grid.beams; beam += 1)
    for (let n = 0; n < grid.samples; n += 1) {
      const range = (fan.faceCm + n * step) * grain;
      lookUp(s.speckle, range * (grid.sin[beam] as number), range * (grid.cos[beam] as number), 0.5, found);
      sheets.real[beam * grid.samples + n] = found[0] as number;
    }
  blurAlong(sheets.real, grid, along, sheets.spare);
  blurAcross(sheets.real, grid, across, sheets.spare);
  let sum = 0;
  for (const value of sheets.real) sum += value * value;
  return 1 / Math.sqrt(Math.max(1e-9, (2 * sum) / sheets.real.length));
}

/** Follows every beam through the heart. */
function sound(s: Sounding, heart: HeartEcho, plane: CutPlane): void {
  const { fan, grid, recipe, speckle, window } = s;
  const { real, imaginary, mirror } = s.sheets;
  const { samples } = grid;
  const echo: Echo = makeEcho();
  const step = fan.depthCm / (samples - 1);
  const grain = recipe.grainPerCm / Math.sqrt(fan.depthCm / 10);
  const line = 0.035 * Math.sqrt(fan.depthCm / 10) + 0.6 * step;
  const fade = exactPow(10, -recipe.fadeDb / 20 / samples);
  const noise = 0.0045 * recipe.noise * s.noiseLevel;
  const drop = 0.6 * recipe.dropout;
  const { right, down, target } = plane;
  let state = (s.seed * 2654435761) >>> 0 || 1;
  const found = new Float64Array(2);
  for (let beam = 0; beam < grid.beams; beam += 1) {
    const sin = grid.sin[beam] as number;
    const cos = grid.cos[beam] as number;
    const stepR = (right.r * sin + down.r * cos) * step;
    const stepD = (right.d * sin + down.d * cos) * step;
    const stepW = (right.w * sin + down.w * cos) * step;
    const x0 = fan.faceCm * sin;
    const y0 = fan.faceCm * cos - fan.faceCm - plane.targetDepth;
    let r = target.r + right.r * x0 + down.r * y0;
    let d = target.d + right.d * x0 + down.d * y0;
    let w = target.w + right.w * x0 + down.w * y0;
    let gain = window[beam] as number;
    let before = 0;
    let facing = 1;
    for (let n = 0; n < samples; n += 1) {
      const deep = (fan.faceCm + n * step) * cos - fan.faceCm;
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
      const where = beam * samples + n;
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
  }
}

/** Trilinear look-up in the block of scatterers. */
function lookUp(speckle: Speckle, x: number, y: number, z: number, found: Float64Array): void {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const z0 = Math.floor(z);
  const fx = x - x0;
  const fy = y - y0;
  const fz = z - z0;
  const m = block - 1;
  const xa = (x0 & m) * 2;
  const xb = ((x0 + 1) & m) * 2;
  const ya = (y0 & m) * (2 * block);
  const yb = ((y0 + 1) & m) * (2 * block);
  const za = (z0 & m) * (2 * block * block);
  const zb = ((z0 + 1) & m) * (2 * block * block);
  const w00 = (1 - fy) * (1 - fz);
  const w10 = fy * (1 - fz);
  const w01 = (1 - fy) * fz;
  const w11 = fy * fz;
  for (let k = 0; k < 2; k += 1) {
    const left =
      w00 * (speckle[xa + ya + za + k] as number) +
      w10 * (speckle[xa + yb + za + k] as number) +
      w01 * (speckle[xa + ya + zb + k] as number) +
      w11 * (speckle[xa + yb + zb + k] as number);
    const rightSide =
      w00 * (speckle[xb + ya + za + k] as number) +
      w10 * (speckle[xb + yb + za + k] as number) +
      w01 * (speckle[xb + ya + zb + k] as number) +
      w11 * (speckle[xb + yb + zb + k] as number);
    found[k] = left * (1 - fx) + rightSide * fx;
  }
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

/** Takes the envelope, adds clutter and compresses. */
function envelope(
  sheets: Sheets,
  grid: BeamGrid,
  recipe: Recipe,
  hazeWide: number,
  table: Uint8Array,
  out: Float32Array,
): void {
  const { real, imaginary, mirror, spare } = sheets;
  const looks = gaussTaps(recipe.smoothing);
  const size = real.length;
  for (let n = 0; n < size; n += 1) {
    const re = real[n] as number;
    const im = imaginary[n] as number;
    real[n] = Math.sqrt(re * re + im * im) + (mirror[n] as number);
  }
  // A machine's averaging of looks from several sides fills the deepest nulls.
  blurAlong(real, grid, looks, spare);
  blurAcross(real, grid, looks, spare);
  // Side lobes: bright echoes leak sideways at the same depth.
  spread(real, grid, hazeWide, spare);
  const { samples } = grid;
  for (let n = 0; n < size; n += 1) {
    const deep = (n % samples) / samples;
    const near = deep < 0.35 ? (0.35 - deep) * 0.05 : 0;
    const total =
      (real[n] as number) +
      recipe.haze *
        (0.018 + near) *
        (spare[n] as number) *
        (0.6 + 2.4 * Math.min(0.3, imaginary[n] as number));
    const root = Math.sqrt(Math.max(0, total) / topAmplitude);
    out[n] = table[Math.min(levels - 1, Math.floor(root * levels))] as number;
  }
}

function toPixels(map: PixelMap, samples: number, bright: Float32Array, luma: Uint8Array): void {
  const { pixel, cell, alongBeam, acrossBeam } = map;
  for (let n = 0; n < pixel.length; n += 1) {
    const c = cell[n] as number;
    const fs = alongBeam[n] as number;
    const fb = acrossBeam[n] as number;
    const here = (bright[c] as number) * (1 - fs) + (bright[c + 1] as number) * fs;
    const next = (bright[c + samples] as number) * (1 - fs) + (bright[c + samples + 1] as number) * fs;
    luma[pixel[n] as number] = Math.round(here * (1 - fb) + next * fb);
  }
}
