import type { PhantomWish } from '@chordae/phantom';
import { chambersOnScreen, outlineShape, renderCine } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { assessClip } from '../assess/assess-clip';
import { mostRootConfidence } from './assess-root';

const wish: PhantomWish = {
  view: 'rps-short-aortic',
  species: 'dog',
  weightKg: 18,
  heart: 'normal',
  heartRate: 110,
  frameCount: 26,
  frameTimeMs: 34,
  words: null,
  widthPx: 320,
  heightPx: 240,
};

describe('the aortic root', () => {
  const clip = renderCine(wish, 6);
  const said = assessClip(
    clip.frames.map((luma) => ({ widthPx: 320, heightPx: 240, luma })),
    { frameTimesMs: clip.truth.frameTimesMs, view: 'rps-short-aortic' },
  );

  it('is found where it is, with about its size', () => {
    const own = outlineShape(Float64Array.from(said.aorticRoot?.outline ?? [0, 0, 1, 0, 0, 1]));
    const nearest = Math.min(
      ...clip.truth.rootOutlines.flatMap((outline) => {
        if (!outline) return [];
        const shape = outlineShape(outline);
        return [
          Math.hypot(shape.centre.x - own.centre.x, shape.centre.y - own.centre.y) /
            Math.sqrt(shape.areaPx2 / Math.PI),
        ];
      }),
    );
    expect(nearest).toBeLessThan(0.4);
  });

  it('is square here, said with some confidence, never with much, and without moments of the beat', () => {
    expect(said.aorticRoot?.verdict).toBe('round');
    expect(said.aorticRoot?.confidence).toBeGreaterThan(0.35);
    expect(said.aorticRoot?.confidence).toBeLessThanOrEqual(mostRootConfidence);
    expect(said.cycle.endSystoleFrames).toEqual([]);
    expect(said.cycle.reasons).toContain('CYCLE_MOMENTS_NOT_OFFERED');
  });

  // Which side the outlet comes in on is asked of the heart itself: what lies a radius and a half to either side of the root.
  it('cut aslant is oblique, with the outlet on the side where the heart has it', () => {
    for (const tiltAzimuthDeg of [0, 180]) {
      const aslant: PhantomWish = { ...wish, tiltDeg: 36, tiltAzimuthDeg, frameCount: 12, frameTimeMs: 50 };
      const oblique = renderCine(aslant, 6);
      const own = assessClip(
        oblique.frames.map((luma) => ({ widthPx: 320, heightPx: 240, luma })),
        { frameTimesMs: oblique.truth.frameTimesMs, view: 'rps-short-aortic' },
      ).aorticRoot;
      const shape = outlineShape(oblique.truth.rootOutlines[0] ?? new Float64Array(6));
      const radius = Math.sqrt(shape.areaPx2 / Math.PI);
      const at = chambersOnScreen(aslant, 6);
      const outlet = (side: 1 | -1): number =>
        [1.1, 1.25, 1.4].filter(
          (part) => at(0, shape.centre.x + side * part * radius, shape.centre.y) === 'left-ventricle',
        ).length;
      const right = outlet(1) > outlet(-1);
      expect(outlet(1)).not.toBe(outlet(-1));
      expect(own?.verdict).toBe('oblique');
      expect(own?.reasons).toContain(right ? 'ROOT_MUSCLE_ON_RIGHT' : 'ROOT_MUSCLE_ON_LEFT');
      expect(own?.reasons).not.toContain(right ? 'ROOT_MUSCLE_ON_LEFT' : 'ROOT_MUSCLE_ON_RIGHT');
    }
  });
});
