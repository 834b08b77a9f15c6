import { describe, expect, it } from 'vitest';
import { frameEllipse } from './frame-ellipse';

describe('an ellipse on a frame', () => {
  it('reaches as far as its third point lies from the first axis, wherever along it', () => {
    const ellipse = frameEllipse([
      { x: 0, y: 0 },
      { x: 10, y: 0 },
      { x: 8, y: 3 },
    ]);
    expect(ellipse).toEqual({ middle: { x: 5, y: 0 }, first: 5, second: 3, turnDeg: 0 });
  });

  it('turns with its first axis', () => {
    // The axis (0,0) to (6,8) is 10 long; (0,5) lies |6·5 − 8·0| / 10 = 3 from it.
    const ellipse = frameEllipse([
      { x: 0, y: 0 },
      { x: 6, y: 8 },
      { x: 0, y: 5 },
    ]);
    expect(ellipse.first).toBe(5);
    expect(ellipse.second).toBe(3);
    expect(ellipse.turnDeg).toBeCloseTo(53.13, 2);
  });

  it('has no second axis where the first has no length', () => {
    const p = { x: 2, y: 2 };
    expect(frameEllipse([p, p, { x: 4, y: 4 }])).toMatchObject({ first: 0, second: 0 });
  });
});
