import type { PhantomWish } from '@chordae/phantom';
import { renderCine } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { assessClip } from '../assess/assess-clip';

const wish: PhantomWish = {
  view: 'rps-long-4ch',
  species: 'dog',
  weightKg: 18,
  heart: 'normal',
  heartRate: 110,
  frameCount: 20,
  frameTimeMs: 34,
  words: null,
  widthPx: 320,
  heightPx: 240,
};

function longAxis(change: Partial<PhantomWish>) {
  const clip = renderCine({ ...wish, ...change }, 6);
  return assessClip(
    clip.frames.map((luma) => ({ widthPx: 320, heightPx: 240, luma })),
    { frameTimesMs: clip.truth.frameTimesMs, view: 'rps-long-4ch' },
  ).longAxis;
}

describe('a long axis', () => {
  it('gives suggestions only, each to be confirmed', () => {
    const said = longAxis({});
    expect(said?.reasons).toContain('SUGGESTION_TO_CONFIRM');
    expect(said?.confidence).toBeLessThanOrEqual(0.5);
    expect(said?.lengthToWidth).toBeGreaterThan(1);
  });

  it('sees a larger right ventricle in right overload', () => {
    const normal = longAxis({})?.rightToLeftVentricle ?? 0;
    const overload = longAxis({ heart: 'right-overload' })?.rightToLeftVentricle ?? 0;
    expect(overload).toBeGreaterThan(normal);
  });
});
