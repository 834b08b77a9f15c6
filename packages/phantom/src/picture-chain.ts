import { exactLog, exactPow } from '@chordae/units';
import type { Recipe } from './recipe';
import type { Sheets, Sounder } from './sounding';
import { makeSheets, makeSounder } from './sounding';
import type { Speckle } from './speckle';
import { lookUp } from './speckle';
import type { Lines } from './spread';
import { blurAcross, blurAlong, gaussTaps, spread } from './spread';

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

/** From raw echoes to grey: pulse and beam, envelope, clutter, compression. */
export interface PictureChain {
  readonly sounder: Sounder;
  /** Turns what the sounder left into grey, beam by beam. */
  finish(): Float32Array;
}

export function makeChain(
  lines: Lines,
  shape: {
    readonly faceCm: number;
    readonly depthCm: number;
    readonly acrossSigma: number;
    readonly hazeWide: number;
  },
  recipe: Recipe,
  speckle: Speckle,
): PictureChain {
  const size = lines.beams * lines.samples;
  const sheets = makeSheets(size);
  const bright = new Float32Array(size);
  const table = compression(recipe);
  const perSample = shape.depthCm / (lines.samples - 1);
  const along = gaussTaps(Math.max(0.6, (recipe.pulseCm * Math.sqrt(shape.depthCm / 10)) / perSample));
  const across = gaussTaps(Math.max(0.6, shape.acrossSigma));
  const level = speckleLevel(lines, shape, recipe, speckle, along, across, sheets);
  const noiseLevel = 1.7 / Math.sqrt(sumOfSquares(along) * sumOfSquares(across));
  const { faceCm, depthCm } = shape;
  const sounder = makeSounder({
    faceCm,
    depthCm,
    samples: lines.samples,
    recipe,
    speckle,
    sheets,
    level,
    noiseLevel,
  });
  return {
    sounder,
    finish() {
      for (const sheet of [sheets.real, sheets.imaginary, sheets.mirror]) {
        blurAlong(sheet, lines, along, sheets.spare);
        blurAcross(sheet, lines, across, sheets.spare);
      }
      envelope(sheets, lines, recipe, shape.hazeWide, table, bright);
      return bright;
    },
  };
}

function sumOfSquares(taps: Float64Array): number {
  return taps.reduce((sum, tap) => sum + tap * tap, 0);
}

/** What speckle of amplitude 1 must be multiplied with, so that it has amplitude 1 after the blur of pulse and beam. */
function speckleLevel(
  lines: Lines,
  shape: { readonly faceCm: number; readonly depthCm: number },
  recipe: Recipe,
  speckle: Speckle,
  along: Float64Array,
  across: Float64Array,
  sheets: Sheets,
): number {
  const grain = recipe.grainPerCm / Math.sqrt(shape.depthCm / 10);
  const step = (shape.depthCm / (lines.samples - 1)) * grain;
  const found = new Float64Array(2);
  for (let beam = 0; beam < lines.beams; beam += 1)
    for (let n = 0; n < lines.samples; n += 1) {
      const range = shape.faceCm * grain + n * step;
      lookUp(speckle, range * (lines.sin[beam] as number), range * (lines.cos[beam] as number), 0.5, found);
      sheets.real[beam * lines.samples + n] = found[0] as number;
    }
  blurAlong(sheets.real, lines, along, sheets.spare);
  blurAcross(sheets.real, lines, across, sheets.spare);
  let sum = 0;
  for (const value of sheets.real) sum += value * value;
  return 1 / Math.sqrt(Math.max(1e-9, (2 * sum) / sheets.real.length));
}

/** Takes the envelope, adds clutter and compresses. */
function envelope(
  sheets: Sheets,
  grid: Lines,
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
