import { cosine, halfTurn, logarithm, sine } from './plain-math';
import type { Random } from './random';
import { normalish } from './random';
import type { Echo, Slice } from './tissue';

/** The fan on the screen. Depth counts from the skin, along the beams. */
export interface Fan {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Where the beams meet, above the probe face. */
  readonly apexX: number;
  readonly apexY: number;
  readonly halfAngle: number;
  /** From the meeting point to the skin, cm. */
  readonly faceCm: number;
  readonly depthCm: number;
  readonly pxPerCm: number;
}

const beams = 200;
const samples = 420;
const field = 256;

/** Speckle fixed in the tissue: two periodic fields of scatterer sums (real, imaginary). */
export interface Speckle {
  readonly real: Float32Array;
  readonly imaginary: Float32Array;
}

export function makeSpeckle(random: Random): Speckle {
  const one = (): Float32Array => Float32Array.from({ length: field * field }, () => normalish(random));
  return { real: one(), imaginary: one() };
}

function sampleField(values: Float32Array, x: number, y: number): number {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const fx = x - x0;
  const fy = y - y0;
  const left = x0 & (field - 1);
  const right = (x0 + 1) & (field - 1);
  const top = (y0 & (field - 1)) * field;
  const bottom = ((y0 + 1) & (field - 1)) * field;
  const a = (values[top + left] ?? 0) * (1 - fx) + (values[top + right] ?? 0) * fx;
  const b = (values[bottom + left] ?? 0) * (1 - fx) + (values[bottom + right] ?? 0) * fx;
  return a * (1 - fy) + b * fy;
}

/** Log compression, 0-255, as a table over amplitude 0…4. */
const dynamicDb = 52;
const levels = 2048;
const compression = Uint8Array.from({ length: levels }, (_, n) => {
  const db = (20 / Math.LN10) * logarithm(((n + 0.5) / levels) * 4);
  return Math.max(0, Math.min(255, Math.round(255 * ((db + 41) / dynamicDb))));
});

export interface Scanner {
  /** Draws one frame of the fan into a picture of luma, over what is there. */
  draw(slice: Slice, luma: Uint8Array, random: Random): void;
}

/** Prepares the beams and the way from beams to pixels once for a clip. */
export function makeScanner(fan: Fan, speckle: Speckle): Scanner {
  const directions = Array.from({ length: beams }, (_, n) => {
    const angle = fan.halfAngle * ((2 * n) / (beams - 1) - 1);
    return { sin: sine(angle), cos: cosine(angle) };
  });
  const map = pixelMap(fan);
  // Grains of about a millimetre at 10 cm, finer at less depth (higher frequency).
  const grain = 80 / Math.sqrt(10 * fan.depthCm);
  const real = new Float32Array(beams * samples);
  const imaginary = new Float32Array(beams * samples);
  const smooth = new Float32Array(beams * samples);
  const bright = new Float32Array(beams * samples);
  const echo: Echo = { amplitude: 0, mirror: 0, materialX: 0, materialY: 0 };
  const sound = (slice: Slice, random: Random): void => {
    directions.forEach(({ sin, cos }, beam) => {
      for (let sample = 0; sample < samples; sample += 1) {
        const range = fan.faceCm + (fan.depthCm * sample) / (samples - 1);
        const x = range * sin;
        const depth = range * cos - fan.faceCm;
        slice(x, depth, echo);
        const at = beam * samples + sample;
        const mx = echo.materialX * grain;
        const my = echo.materialY * grain * 1.7;
        // Deeper echoes are weaker, and amplified again by the machine, nearly.
        const gain = 1 - (0.25 * sample) / samples;
        const noise = 0.008 + (0.03 * sample) / samples;
        real[at] = sampleField(speckle.real, mx, my) * echo.amplitude * gain + (random() - 0.5) * noise;
        imaginary[at] =
          sampleField(speckle.imaginary, mx, my) * echo.amplitude * gain + (random() - 0.5) * noise;
        smooth[at] = echo.mirror * gain;
      }
    });
  };
  return {
    draw(slice, luma, random) {
      sound(slice, random);
      envelope(real, imaginary, smooth, bright);
      for (let n = 0; n < map.pixel.length; n += 1) {
        const at = map.cell[n] ?? 0;
        const fs = map.alongBeam[n] ?? 0;
        const fb = map.acrossBeam[n] ?? 0;
        const near = (bright[at] ?? 0) * (1 - fs) + (bright[at + 1] ?? 0) * fs;
        const next = (bright[at + samples] ?? 0) * (1 - fs) + (bright[at + samples + 1] ?? 0) * fs;
        luma[map.pixel[n] ?? 0] = near * (1 - fb) + next * fb;
      }
    },
  };
}

/** Blurs across the beams (the beam's width), takes the envelope, compresses. */
function envelope(
  real: Float32Array,
  imaginary: Float32Array,
  smooth: Float32Array,
  out: Float32Array,
): void {
  const kernel = [0.12, 0.23, 0.3, 0.23, 0.12];
  for (let beam = 0; beam < beams; beam += 1) {
    for (let sample = 0; sample < samples; sample += 1) {
      let re = 0;
      let im = 0;
      let mirror = 0;
      for (let k = 0; k < 5; k += 1) {
        const other = Math.max(0, Math.min(beams - 1, beam + k - 2)) * samples + sample;
        const weight = kernel[k] ?? 0;
        re += weight * (real[other] ?? 0);
        im += weight * (imaginary[other] ?? 0);
        mirror += weight * (smooth[other] ?? 0);
      }
      const speckled = Math.sqrt(re * re + im * im);
      const total = speckled + mirror * (0.6 + 2 * Math.min(0.4, speckled));
      out[beam * samples + sample] = compression[Math.min(levels - 1, Math.floor((total / 4) * levels))] ?? 0;
    }
    soften(out, beam * samples);
  }
}

/** Evens out the deepest nulls of speckle along a beam, as a machine's averaging does. */
function soften(out: Float32Array, from: number): void {
  let before = out[from] ?? 0;
  for (let at = from + 1; at < from + samples - 1; at += 1) {
    const here = out[at] ?? 0;
    out[at] = 0.3 * before + 0.4 * here + 0.3 * (out[at + 1] ?? 0);
    before = here;
  }
}

interface PixelMap {
  readonly pixel: Int32Array;
  readonly cell: Int32Array;
  readonly alongBeam: Float32Array;
  readonly acrossBeam: Float32Array;
}

/** For each pixel of the fan: which beams and samples it lies between. */
function pixelMap(fan: Fan): PixelMap {
  const pixel: number[] = [];
  const cell: number[] = [];
  const alongBeam: number[] = [];
  const acrossBeam: number[] = [];
  const tangents = Array.from({ length: beams }, (_, n) => {
    const angle = fan.halfAngle * ((2 * n) / (beams - 1) - 1);
    return sine(angle) / cosine(angle);
  });
  for (let y = 0; y < fan.heightPx; y += 1) {
    for (let x = 0; x < fan.widthPx; x += 1) {
      const dx = x + 0.5 - fan.apexX;
      const dy = y + 0.5 - fan.apexY;
      if (dy <= 0) continue;
      const range = Math.sqrt(dx * dx + dy * dy) / fan.pxPerCm - fan.faceCm;
      if (range < 0 || range >= fan.depthCm) continue;
      const beam = between(tangents, dx / dy);
      if (beam === null) continue;
      const sample = (range / fan.depthCm) * (samples - 1);
      const s0 = Math.min(samples - 2, Math.floor(sample));
      pixel.push(y * fan.widthPx + x);
      cell.push(beam.number * samples + s0);
      alongBeam.push(sample - s0);
      acrossBeam.push(beam.part);
    }
  }
  return {
    pixel: Int32Array.from(pixel),
    cell: Int32Array.from(cell),
    alongBeam: Float32Array.from(alongBeam),
    acrossBeam: Float32Array.from(acrossBeam),
  };
}

function between(tangents: readonly number[], wanted: number): { number: number; part: number } | null {
  let low = 0;
  let high = tangents.length - 1;
  if (wanted < (tangents[low] ?? 0) || wanted > (tangents[high] ?? 0)) return null;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((tangents[middle] ?? 0) <= wanted) low = middle;
    else high = middle;
  }
  const [a, b] = [tangents[low] ?? 0, tangents[high] ?? 1];
  return { number: low, part: (wanted - a) / (b - a) };
}

/** A fan that fills a screen of the given size for a wanted depth. */
export function fanFor(widthPx: number, heightPx: number, depthCm: number): Fan {
  const halfAngle = (42 / 180) * halfTurn;
  const faceCm = 0.09 * depthCm;
  // Room for two lines of text above the fan, outside its box.
  const top = 62;
  const pxPerCm = Math.min(
    (heightPx - top - 34) / depthCm,
    (widthPx * 0.45) / ((depthCm + faceCm) * sine(halfAngle)),
  );
  return {
    widthPx,
    heightPx,
    apexX: widthPx / 2,
    apexY: top - faceCm * pxPerCm,
    halfAngle,
    faceCm,
    depthCm,
    pxPerCm,
  };
}
