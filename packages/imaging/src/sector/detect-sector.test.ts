import type { PhantomWish } from '@chordae/phantom';
import { renderCine } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import type { GrayFrame } from '../gray-frame';
import { detectSectorGeometry } from './detect-sector';
import { sectorMask } from './sector-geometry';

const wish: PhantomWish = {
  view: 'rps-long-4ch',
  species: 'dog',
  weightKg: 14,
  heart: 'normal',
  heartRate: 110,
  frameCount: 6,
  frameTimeMs: 40,
  words: { patientLine: 'TESTDOG 12', secondLine: 'SMALL PRACTICE', viewLine: 'LONG AXIS' },
  widthPx: 480,
  heightPx: 360,
};
const clip = renderCine(wish, 3);
const frames: GrayFrame[] = clip.frames.map((luma) => ({ widthPx: 480, heightPx: 360, luma }));

/** Part of the union that two masks share. */
function overlap(a: Uint8Array, b: Uint8Array): number {
  let both = 0;
  let either = 0;
  a.forEach((v, n) => {
    both += v & (b[n] as number);
    either += v | (b[n] as number);
  });
  return both / either;
}

function trueMask(): Uint8Array {
  const { apexX, apexY, faceCm, depthCm, pxPerCm, halfAngle } = clip.fan;
  return Uint8Array.from({ length: 480 * 360 }, (_, n) => {
    const dx = (n % 480) + 0.5 - apexX;
    const dy = Math.floor(n / 480) + 0.5 - apexY;
    const range = Math.hypot(dx, dy) / pxPerCm;
    return range >= faceCm && range < faceCm + depthCm && Math.abs(Math.atan2(dx, dy)) <= halfAngle ? 1 : 0;
  });
}

describe('the sector', () => {
  const found = detectSectorGeometry(frames);

  it('is found to the pixel beside text, ruler and grey bar', () => {
    expect(found.shape).toBe('fan');
    expect(overlap(sectorMask(found, 480, 360), trueMask())).toBeGreaterThan(0.985);
    expect(found.confidence).toBeGreaterThan(0.6);
    expect(found.clippedFraction).toBeLessThan(0.01);
  });

  it('moves with the picture when it is mirrored, and keeps its size when it is darkened', () => {
    const mirrored = frames.map(({ luma }) => {
      const turned = luma.slice();
      for (let y = 0; y < 360; y += 1) turned.subarray(y * 480, (y + 1) * 480).reverse();
      return { widthPx: 480, heightPx: 360, luma: turned };
    });
    const other = detectSectorGeometry(mirrored);
    expect(other.apexXPx).toBeCloseTo(480 - found.apexXPx, -0.3);
    expect(other.leftAngleRad).toBeCloseTo(-found.rightAngleRad, 1);
    const dark = detectSectorGeometry(frames.map((f) => ({ ...f, luma: f.luma.map((v) => v * 0.7) })));
    expect(Math.abs(dark.outerRadiusPx - found.outerRadiusPx)).toBeLessThan(2);
  });

  it('is not invented where there is none', () => {
    const flat = (value: number): GrayFrame => ({
      widthPx: 90,
      heightPx: 70,
      luma: new Uint8Array(6300).fill(value),
    });
    expect(detectSectorGeometry([]).reasons).toEqual(['SECTOR_NO_PICTURE']);
    expect(detectSectorGeometry([flat(0), flat(0)]).shape).toBe('none');
    expect(detectSectorGeometry([{ widthPx: 1, heightPx: 1, luma: new Uint8Array(1) }]).shape).toBe('none');
  });
});
