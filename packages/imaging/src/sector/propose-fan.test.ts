import { outlineRows } from '@chordae/dicom';
import type { PhantomWish, ScreenFurniture } from '@chordae/phantom';
import { plainFurniture, renderCine, splitScreen } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import type { GrayFrame } from '../gray-frame';
import { detectSectorGeometry } from './detect-sector';
import { fanOutline } from './fan-outline';
import { proposeFan } from './propose-fan';
import { sectorMask } from './sector-geometry';

const [widthPx, heightPx] = [480, 360];

function drawn(furniture: Partial<ScreenFurniture> = {}, seed = 3) {
  const wish: PhantomWish = {
    view: 'rps-long-4ch',
    species: 'dog',
    weightKg: 14,
    heart: 'normal',
    heartRate: 110,
    frameCount: 6,
    frameTimeMs: 40,
    words: { patientLine: 'TESTDOG 12', secondLine: 'SMALL PRACTICE', viewLine: 'LONG AXIS' },
    widthPx,
    heightPx,
    furniture: { ...plainFurniture, ...furniture },
  };
  return renderCine(wish, seed);
}
const framesOf = (lumas: readonly Uint8Array[], width = widthPx): GrayFrame[] =>
  lumas.map((luma) => ({ widthPx: width, heightPx, luma }));
const proposed = (frames: readonly GrayFrame[]) => proposeFan(frames, detectSectorGeometry(frames));

function rasterised(outline: readonly number[]): Uint8Array {
  const mask = new Uint8Array(widthPx * heightPx);
  for (const { x0, y0, x1 } of outlineRows(outline, widthPx, heightPx))
    mask.fill(1, y0 * widthPx + x0, y0 * widthPx + x1 + 1);
  return mask;
}
const differing = (a: Uint8Array, b: Uint8Array) => a.reduce((sum, v, n) => sum + (v === b[n] ? 0 : 1), 0);

describe('the sector as what alone may leave', () => {
  const clip = drawn();
  const frames = framesOf(clip.frames);
  const sector = detectSectorGeometry(frames);

  it.each([0, 2])('has the outline of the sector grown by %i pixels', (margin) => {
    const exact = sectorMask(sector, widthPx, heightPx, margin);
    const pixels = exact.reduce((sum, v) => sum + v, 0);
    // Chords for arcs, and coordinates to a tenth of a pixel.
    expect(differing(rasterised(fanOutline(sector, margin)), exact)).toBeLessThan(0.002 * pixels);
  });

  it('has a level top where the sector has', () => {
    const flat = { ...sector, shape: 'fan-flat-top' as const };
    const exact = sectorMask(flat, widthPx, heightPx, 2);
    expect(differing(rasterised(fanOutline(flat, 2)), exact)).toBeLessThan(400);
  });

  it('is proposed on a moving clip with text, ruler and grey bar beside it, none of which it leaves', () => {
    const fan = proposed(frames);
    expect(fan).toMatchObject({ proposed: true, reasons: [] });
    if (!fan) throw new Error('not offered');
    const mask = rasterised(fan.outline);
    expect(fan.keptShare).toBeCloseTo(mask.reduce((sum, v) => sum + v, 0) / mask.length, 2);
    // The patient's line is bright, and gone.
    const first = frames[0]?.luma ?? new Uint8Array();
    const lineAt = (n: number) => Math.floor(n / widthPx) < 24 && n % widthPx < 90;
    const lit = first.reduce((sum, v, n) => sum + (lineAt(n) && v > 150 ? 1 : 0), 0);
    expect(lit).toBeGreaterThan(50);
    expect(mask.some((v, n) => v === 1 && lineAt(n))).toBe(false);
  });

  it('is only offered beside a heart trace', () => {
    const fan = proposed(framesOf(drawn({ trace: true }).frames));
    expect(fan?.proposed).toBe(false);
    expect(fan?.reasons.some((r) => r === 'FAN_WIDE_OUTSIDE' || r === 'FAN_MOVES_OUTSIDE')).toBe(true);
  });

  it('is only offered beside a second picture', () => {
    const split = splitScreen(clip, drawn({}, 5));
    const fan = proposed(framesOf(split.frames, split.widthPx));
    expect(fan?.proposed ?? false).toBe(false);
    if (fan) expect(fan.reasons).toContain('FAN_SECOND_PICTURE');
  });

  it('is only offered where something small but moving stands beside it', () => {
    // A strip in the corner that another value fills in each frame, as a spectrum that is drawn on does.
    const moving = clip.frames.map((luma, f) => {
      const out = luma.slice();
      for (let y = 320; y < 350; y += 1)
        for (let x = 380; x < 392; x += 1) out[y * widthPx + x] = (f % 2) * 200;
      return out;
    });
    const fan = proposed(framesOf(moving));
    expect(fan).toMatchObject({ proposed: false, reasons: ['FAN_MOVES_OUTSIDE'] });
  });

  it('is only offered on a still', () => {
    expect(proposed(frames.slice(0, 1))).toMatchObject({ proposed: false, reasons: ['FAN_STILL'] });
  });

  it('is not offered where its borders are faint, where much of it is cut off, and where there is none', () => {
    expect(proposeFan(frames, { ...sector, confidence: 0.3 })).toBeNull();
    expect(proposeFan(frames, { ...sector, confidence: 0.5 })).toMatchObject({ reasons: ['FAN_UNSURE'] });
    expect(proposeFan(frames, { ...sector, clippedFraction: 0.1 })).toBeNull();
    const noise = Array.from({ length: 6 }, (_, f) =>
      Uint8Array.from({ length: widthPx * heightPx }, (_p, n) => (n * 7919 + f * 104_729) % 251),
    );
    expect(proposed(framesOf(noise))).toBeNull();
    expect(proposed(framesOf([new Uint8Array(widthPx * heightPx)]))).toBeNull();
    expect(proposed([])).toBeNull();
  });
});
