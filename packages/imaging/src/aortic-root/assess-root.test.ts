import type { PhantomWish } from '@chordae/phantom';
import { outlineShape, renderCine } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { assessClip } from '../assess/assess-clip';

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

  it('never gets the confidence that advice rests on, and no moments of the beat are offered there', () => {
    expect(said.aorticRoot?.confidence).toBeLessThanOrEqual(0.3);
    expect(said.cycle.endSystoleFrames).toEqual([]);
    expect(said.cycle.reasons).toContain('CYCLE_MOMENTS_NOT_OFFERED');
  });
});
