import { createHash } from 'node:crypto';
import { chambersOnScreen, outlineShape, randomCine, renderCine } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import type { GrayFrame } from '../../gray-frame';
import { ellipseAxes, ellipseFrom } from '../../picture/ellipse';
import { makeWorkingClip } from '../../picture/working';
import { detectSectorGeometry } from '../../sector/detect-sector';
import { bytesOfBase64 } from '../base64';
import { findCavity } from './cavity-finder';
import { cavityNumbers } from './cavity-numbers';
import { findChambers } from './chambers-finder';
import { chambersNumbers } from './chambers-numbers';
import { gridSide } from './network';
import { finderNumbers } from './numbers';
import { readSpace } from './read-map';
import { rootNumbers } from './root-numbers';

/** A few frames over about one beat of a random phantom that no finder was trained on. */
function clipOf(
  seed: number,
  view: 'rps-short-papillary' | 'rps-long-4ch',
  family: 'developing' | 'shifted',
) {
  const wish = randomCine(seed, family, { view, maxTiltDeg: 20, widthPx: 208, heightPx: 156 });
  const clip = renderCine({ ...wish, frameCount: 6, frameTimeMs: 60_000 / wish.heartRate / 5.5 }, seed);
  const frames: GrayFrame[] = clip.frames.map((luma) => ({ widthPx: 208, heightPx: 156, luma }));
  return { clip, frames };
}

const workingOf = (frames: readonly GrayFrame[]) => makeWorkingClip(frames, detectSectorGeometry(frames));

describe('the finders', () => {
  it('hold the numbers that their cards name', () => {
    for (const shipped of [cavityNumbers, rootNumbers, chambersNumbers]) {
      const hash = createHash('sha256')
        .update(bytesOfBase64(shipped.weights))
        .update(bytesOfBase64(shipped.scalesAndBiases));
      expect(hash.digest('hex')).toBe(shipped.hash);
      expect(shipped.weights.length + shipped.scalesAndBiases.length).toBeLessThan(50_000);
      expect(finderNumbers(shipped).every((v) => Number.isFinite(v))).toBe(true);
    }
  });

  it('see the cavity where it lies and about as large as it is, on seeds that they were not trained on', () => {
    for (let n = 0; n < 6; n += 1) {
      const { clip, frames } = clipOf(1_070_000 + n, 'rps-short-papillary', n % 2 ? 'shifted' : 'developing');
      const working = workingOf(frames);
      const found = findCavity(working);
      if (!found) throw new Error(`no cavity in seed ${1_070_000 + n}`);
      const shapes = clip.truth.lvOutlines.map((o) => outlineShape(o ?? new Float64Array(6)));
      const truth = shapes.reduce((a, b) => (b.areaPx2 > a.areaPx2 ? b : a));
      const radius = Math.sqrt(truth.areaPx2 / Math.PI);
      const { cx, cy, radius: own } = found.diastole.ellipse;
      const x = working.window.x0 + cx * working.scale;
      const y = working.window.y0 + cy * working.scale;
      expect(Math.hypot(x - truth.centre.x, y - truth.centre.y)).toBeLessThan(0.25 * radius);
      expect((own * working.scale) / radius).toBeGreaterThan(0.85);
      expect((own * working.scale) / radius).toBeLessThan(1.15);
    }
  });

  it('see left ventricle, left atrium and right ventricle of a long axis', () => {
    const { clip, frames } = clipOf(1_270_000, 'rps-long-4ch', 'developing');
    const working = workingOf(frames);
    const found = findChambers(working);
    const at = chambersOnScreen(clip.wish, 1_270_000);
    for (const [space, name] of [
      [found?.diastole, 'left-ventricle'],
      [found?.leftAtrium, 'left-atrium'],
    ] as const) {
      const { cx, cy } = space?.ellipse ?? { cx: -9, cy: -9 };
      const x = working.window.x0 + cx * working.scale;
      const y = working.window.y0 + cy * working.scale;
      expect([0, 1, 2, 3, 4, 5].map((frame) => at(frame, x, y))).toContain(name);
    }
    expect(found?.rightVentricle).not.toBeNull();
  });

  it('care little for brightness, and say the same of a mirrored picture', () => {
    const { frames } = clipOf(1_070_020, 'rps-short-papillary', 'developing');
    const plain = findCavity(workingOf(frames))?.diastole.ellipse;
    const dim = frames.map((f) => ({ ...f, luma: f.luma.map((v) => Math.round(0.7 * v)) }));
    const darker = findCavity(workingOf(dim))?.diastole.ellipse;
    const flipped = frames.map((f) => {
      const luma = f.luma.slice();
      for (let row = 0; row < luma.length; row += f.widthPx) luma.subarray(row, row + f.widthPx).reverse();
      return { ...f, luma };
    });
    const mirrored = findCavity(workingOf(flipped))?.diastole.ellipse;
    if (!plain || !darker || !mirrored) throw new Error('not found');
    expect(Math.abs(darker.radius / plain.radius - 1)).toBeLessThan(0.05);
    expect(Math.abs(mirrored.radius / plain.radius - 1)).toBeLessThan(0.03);
    expect(Math.abs(mirrored.cy - plain.cy)).toBeLessThan(0.05 * plain.radius);
  });
});

describe('a map of likelihoods', () => {
  // An even ellipse has second moments of a quarter of its squared half axes (elementary).
  it('reads back as the ellipse that was painted', () => {
    const e = ellipseFrom(22, 26, 9, 6, 0.5);
    const { major, minor, angleRad } = ellipseAxes(e);
    const raw = Float32Array.from({ length: gridSide * gridSide }, (_, n) => {
      let inside = 0;
      for (let k = 0; k < 25; k += 1) {
        const x = (n % gridSide) + ((k % 5) + 0.5) / 5 - e.cx;
        const y = Math.floor(n / gridSide) + (Math.floor(k / 5) + 0.5) / 5 - e.cy;
        const along = (x * Math.cos(angleRad) + y * Math.sin(angleRad)) / major;
        const across = (y * Math.cos(angleRad) - x * Math.sin(angleRad)) / minor;
        if (along * along + across * across < 1) inside += 1 / 25;
      }
      const p = Math.max(1e-6, Math.min(1 - 1e-6, inside));
      return Math.log(p / (1 - p));
    });
    const found = readSpace(raw, 0, { x0: 0, y0: 0, cell: 1 });
    if (!found) throw new Error('nothing read');
    const axes = ellipseAxes(found.ellipse);
    expect(found.ellipse.cx).toBeCloseTo(22, 1);
    expect(found.ellipse.cy).toBeCloseTo(26, 1);
    expect(axes.major).toBeCloseTo(9, 0);
    expect(axes.minor).toBeCloseTo(6, 0);
    expect(axes.angleRad).toBeCloseTo(0.5, 1);
    expect(found.sureness).toBeGreaterThan(0.9);
  });

  it('is nothing where nothing is likely', () => {
    expect(
      readSpace(new Float32Array(gridSide * gridSide).fill(-4), 0, { x0: 0, y0: 0, cell: 1 }),
    ).toBeNull();
  });
});
