import { createHash } from 'node:crypto';
import { outlineShape, randomCine, renderCine, systoleEnds } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import type { GrayFrame } from '../gray-frame';
import { bytesOfBase64 } from './base64';
import { runNetwork } from './network';
import { levelled, polarPatch } from './polar-patch';
import { learnedShortAxisTilt } from './short-axis-tilt';
import { weightsBase64, weightsHash } from './short-axis-weights';

/** End diastole, end systole and the cavity's true place of a random phantom. */
function heartOf(seed: number, family: 'developing' | 'shifted' | 'distant') {
  const wish = randomCine(seed, family);
  const beatMs = 60_000 / wish.heartRate;
  const { frames, truth, fan } = renderCine(
    {
      ...wish,
      startPhase: 0,
      frameCount: 2,
      frameTimeMs: systoleEnds(wish.heartRate) * beatMs,
      rhythmJitter: 0,
    },
    seed,
  );
  const outline = truth.lvOutlines[0];
  if (!outline) throw new Error('the plane misses the ventricle');
  const { centre, areaPx2 } = outlineShape(outline);
  const gray = (luma: Uint8Array | undefined): GrayFrame => ({
    widthPx: fan.widthPx,
    heightPx: fan.heightPx,
    luma: luma ?? new Uint8Array(),
  });
  return {
    diastole: gray(frames[0]),
    systole: gray(frames[1]),
    place: { x: centre.x, y: centre.y, radiusPx: Math.sqrt(areaPx2 / Math.PI) },
    tiltDeg: truth.tiltDeg,
  };
}

const mapped = (frame: GrayFrame, change: (level: number) => number): GrayFrame => ({
  ...frame,
  luma: frame.luma.map(change),
});

describe('the learned tilt', () => {
  it('holds the numbers that its card names', () => {
    const bytes = bytesOfBase64(weightsBase64);
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(weightsHash);
    // At most 100 KB of text.
    expect(weightsBase64.length).toBeLessThan(100_000);
  });

  it('comes near the truth on seeds that it was not trained on, and tells on-axis from off-axis', () => {
    let sum = 0;
    let swapped = 0;
    const count = 24;
    for (let n = 0; n < count; n += 1) {
      const { diastole, systole, place, tiltDeg } = heartOf(540_000 + n, 'developing');
      const said = learnedShortAxisTilt(diastole, systole, place);
      if (!said) throw new Error('nothing said');
      sum += Math.abs(said.tiltDeg - tiltDeg);
      if ((tiltDeg < 15 && said.tiltDeg > 25) || (tiltDeg > 25 && said.tiltDeg < 15)) swapped += 1;
    }
    expect(sum / count).toBeLessThan(7);
    expect(swapped).toBeLessThanOrEqual(1);
  });

  it('does not care for brightness and contrast, and little for a picture that is mirrored', () => {
    const { diastole, systole, place } = heartOf(541_000, 'developing');
    const plain = learnedShortAxisTilt(diastole, systole, place);
    const dimmer = (level: number): number => Math.round(0.75 * level);
    const dim = learnedShortAxisTilt(mapped(diastole, dimmer), mapped(systole, dimmer), place);
    expect(Math.abs((dim?.tiltDeg ?? 99) - (plain?.tiltDeg ?? 0))).toBeLessThan(1.5);
    const flip = (frame: GrayFrame): GrayFrame => {
      const luma = frame.luma.slice();
      for (let at = 0; at < luma.length; at += frame.widthPx) luma.subarray(at, at + frame.widthPx).reverse();
      return { ...frame, luma };
    };
    const mirrored = learnedShortAxisTilt(flip(diastole), flip(systole), {
      ...place,
      x: diastole.widthPx - place.x,
    });
    expect(Math.abs((mirrored?.tiltDeg ?? 99) - (plain?.tiltDeg ?? 0))).toBeLessThan(6);
  });

  it('says the same twice, and nothing where there is no place to look', () => {
    const { diastole, systole, place } = heartOf(542_000, 'shifted');
    expect(learnedShortAxisTilt(diastole, systole, place)).toEqual(
      learnedShortAxisTilt(diastole, systole, place),
    );
    for (const wrong of [
      { ...place, radiusPx: 0 },
      { ...place, radiusPx: Number.NaN },
      { ...place, x: -3 },
      { ...place, y: 1e9 },
    ])
      expect(learnedShortAxisTilt(diastole, systole, wrong)).toBeNull();
    expect(learnedShortAxisTilt(diastole, { ...systole, widthPx: 1, heightPx: 1 }, place)).toBeNull();
  });

  it('never answers with what is not a number: black, white, one pixel of light, a place at the rim', () => {
    const size = 64;
    const flat = (level: number): GrayFrame => ({
      widthPx: size,
      heightPx: size,
      luma: new Uint8Array(size * size).fill(level),
    });
    const spot = flat(0);
    spot.luma[size * 20 + 20] = 255;
    for (const frame of [flat(0), flat(255), spot])
      for (const place of [
        { x: 32, y: 32, radiusPx: 10 },
        { x: 1, y: 63, radiusPx: 500 },
      ]) {
        const said = learnedShortAxisTilt(frame, frame, place);
        for (const value of Object.values(said ?? { none: Number.NaN }))
          expect(Number.isFinite(value)).toBe(true);
      }
  });
});

describe('patches', () => {
  it('keep a disc of the ventricle as a band of the first radii', () => {
    const size = 128;
    const luma = new Uint8Array(size * size);
    for (let y = 0; y < size; y += 1)
      for (let x = 0; x < size; x += 1) {
        const [dx, dy] = [x + 0.5 - 60, y + 0.5 - 70];
        luma[y * size + x] = dx * dx + dy * dy < 400 ? 40 : 200;
      }
    const patch = polarPatch({ widthPx: size, heightPx: size, luma }, { x: 60, y: 70, radiusPx: 20 });
    // 32 radii to 2.6: the edge at 1.0 lies after 12.3 of them.
    for (let a = 0; a < 48; a += 1) {
      expect(patch[a * 32 + 10]).toBeCloseTo(40, 0);
      expect(patch[a * 32 + 14]).toBeCloseTo(200, 0);
    }
  });

  it('are levelled to mean 0 and to about 1 of spread', () => {
    const values = Float64Array.from({ length: 1536 }, (_, n) => (n * 37) % 200);
    const out = levelled(values, values);
    const mean = out.reduce((a, b) => a + b, 0) / out.length;
    const spread = Math.sqrt(out.reduce((a, b) => a + b * b, 0) / out.length - mean * mean);
    expect(mean).toBeCloseTo(0, 9);
    expect(spread).toBeGreaterThan(0.97);
    expect(spread).toBeLessThanOrEqual(1);
  });
});

describe('the network', () => {
  // A network of one weight each, worked by hand: constant input 2; each layer passes 2 of its channels on with the middle tap.
  it('passes a constant through hand-set numbers', () => {
    const outputs = 1;
    const numbers = new Float64Array(
      8 * 2 * 9 + 8 + 16 * 8 * 9 + 16 + 24 * 16 * 9 + 24 + 576 * 28 + 28 + 28 + 1,
    );
    numbers[4] = 3;
    const second = 8 * 2 * 9 + 8;
    numbers[second + 4] = 0.5;
    const third = second + 16 * 8 * 9 + 16;
    numbers[third + 4] = 2;
    numbers[third + 24 * 16 * 9] = -1;
    const hidden = third + 24 * 16 * 9 + 24;
    numbers[hidden] = 1;
    numbers[hidden + 576 * 28] = 0.25;
    const out = hidden + 576 * 28 + 28;
    numbers[out] = 4;
    numbers[out + 28] = 0.5;
    // 2·3 = 6; ·0.5 = 3; ·2 − 1 = 5; + 0.25 = 5.25; ·4 + 0.5 = 21.5.
    expect(runNetwork(new Float64Array(3072).fill(2), numbers, outputs)[0]).toBe(21.5);
  });
});
