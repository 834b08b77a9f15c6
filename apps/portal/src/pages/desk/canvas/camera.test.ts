import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitCamera, pan, pinch, toFrame, toScreen, zoomAt } from './camera';

const camera = fitCamera({ width: 800, height: 600 }, { width: 400, height: 300 });

describe('the camera', () => {
  it('goes to the screen and back without loss', () => {
    const place = fc.double({ min: -2000, max: 2000, noNaN: true });
    fc.assert(
      fc.property(
        place,
        place,
        place,
        place,
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        (x, y, dx, dy, by) => {
          const moved = pan(zoomAt(camera, { sx: x, sy: y }, by), dx, dy);
          const back = toFrame(moved, toScreen(moved, { x, y }));
          expect(back.x).toBeCloseTo(x, 6);
          expect(back.y).toBeCloseTo(y, 6);
        },
      ),
    );
  });

  it('zooms round the place under the pointer', () => {
    const about = { sx: 130, sy: 70 };
    const before = toFrame(camera, about);
    const after = toFrame(zoomAt(camera, about, 2), about);
    expect(after.x).toBeCloseTo(before.x, 9);
    expect(after.y).toBeCloseTo(before.y, 9);
  });

  it('keeps under both fingers what was under them, as long as they do not turn', () => {
    const before = [
      { sx: 100, sy: 80 },
      { sx: 200, sy: 140 },
    ] as const;
    // Twice as far apart in the same direction, and moved.
    const now = [
      { sx: 70, sy: 60 },
      { sx: 270, sy: 180 },
    ] as const;
    const after = pinch(camera, before, now);
    expect(after.scale).toBeCloseTo(2 * camera.scale, 9);
    for (const n of [0, 1] as const) {
      const there = toFrame(camera, before[n]);
      const here = toFrame(after, now[n]);
      expect(here.x).toBeCloseTo(there.x, 9);
      expect(here.y).toBeCloseTo(there.y, 9);
    }
  });

  it('only moves when both fingers begin in one place', () => {
    const one = { sx: 50, sy: 50 };
    const after = pinch(
      camera,
      [one, one],
      [
        { sx: 60, sy: 50 },
        { sx: 80, sy: 50 },
      ],
    );
    expect(after).toEqual(pan(camera, 20, 0));
  });

  it('centres a frame that is narrower than its tile', () => {
    expect(fitCamera({ width: 100, height: 100 }, { width: 400, height: 200 })).toEqual({
      scale: 2,
      offsetX: 100,
      offsetY: 0,
    });
  });
});
