import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitCamera, pan, toFrame, toScreen, zoomAt } from './camera';

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

  it('centres a frame that is narrower than its tile', () => {
    expect(fitCamera({ width: 100, height: 100 }, { width: 400, height: 200 })).toEqual({
      scale: 2,
      offsetX: 100,
      offsetY: 0,
    });
  });
});
