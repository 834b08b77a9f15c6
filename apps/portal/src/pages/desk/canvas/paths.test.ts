import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crosses, ellipsePoints, shapePath } from './paths';

const plain = { scale: 2, offsetX: 10, offsetY: 0 };
const at = (x: number, y: number) => ({ x, y });

describe('shapes on the screen', () => {
  it('are paths in screen pixels, closed where the shape is', () => {
    const points = [at(0, 0), at(10, 0), at(10, 10)];
    expect(shapePath(plain, 'length', points.slice(0, 2), null, 1)).toBe('M10.00 0.00 L30.00 0.00');
    expect(shapePath(plain, 'outline', points, null, 1)).toMatch(/ Z$/);
    expect(shapePath(plain, 'trace', points, null, 1)).not.toMatch(/Z/);
    expect(shapePath(plain, 'discs', points, [at(5, 0), at(10, 10)], 1)).toContain('Z M20.00 0.00');
    expect(shapePath(plain, 'time', points.slice(0, 2), null, 1).match(/M/g)).toHaveLength(3);
    expect(shapePath(plain, 'velocity', points.slice(0, 1), null, 1)).toBe('');
    expect(crosses(plain, points, 6).match(/M/g)).toHaveLength(6);
  });

  it('draw an ellipse through the ends of its axis and as far as its side point, in pixels that are not square', () => {
    const spot = fc.record({ x: fc.integer({ min: 0, max: 400 }), y: fc.integer({ min: 0, max: 300 }) });
    fc.assert(
      fc.property(spot, spot, spot, fc.double({ min: 0.5, max: 2, noNaN: true }), (a, b, side, aspect) => {
        fc.pre(Math.hypot(a.x - b.x, a.y - b.y) > 5);
        const line = ellipsePoints([a, b, side], aspect);
        const far = (p: { x: number; y: number }, q: { x: number; y: number }) =>
          Math.hypot(p.x - q.x, p.y - q.y);
        expect(far(line[0] ?? a, b)).toBeLessThan(1e-6);
        expect(far(line[36] ?? b, a)).toBeLessThan(1e-6);
        // The side point lies as far from the axis, in true lengths, as the ellipse's own end.
        const off = (p: { x: number; y: number }) =>
          Math.abs((b.x - a.x) * (p.y - a.y) * aspect - (p.x - a.x) * (b.y - a.y) * aspect);
        expect(off(line[18] ?? a)).toBeCloseTo(off(side), 4);
      }),
    );
    expect(ellipsePoints([at(3, 3), at(3, 3), at(9, 9)], 1)).toEqual([]);
  });
});
