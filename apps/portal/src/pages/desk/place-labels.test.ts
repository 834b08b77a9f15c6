import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeLabels } from './place-labels';

describe('labels of calipers on one frame', () => {
  it('stay where nothing lies, and go a line down where another is written', () => {
    const far = { x: 10, y: 10, text: 'IVSd 6.6 mm' };
    const one = { x: 100, y: 200, text: 'LVWs 9.3 mm' };
    const two = { x: 150, y: 205, text: 'LVWd 6.7 mm' };
    expect(placeLabels([far, one, two])).toEqual([far, one, { ...two, y: 220 }]);
  });

  it('never lie over one another, however many there are', () => {
    const label = fc.record({
      x: fc.integer({ min: 0, max: 300 }),
      y: fc.integer({ min: 0, max: 200 }),
      text: fc.constantFrom('LVIDd 27.8 mm', 'E 0.9 m/s', 'TR Vmax 3.10 m/s'),
    });
    fc.assert(
      fc.property(fc.array(label, { maxLength: 12 }), (labels) => {
        const placed = placeLabels(labels);
        expect(placed.map((p) => p.text)).toEqual(labels.map((l) => l.text));
        for (const [n, a] of placed.entries())
          for (const b of placed.slice(0, n)) {
            const apart =
              Math.abs(a.y - b.y) >= 15 || a.x >= b.x + 7 * b.text.length || b.x >= a.x + 7 * a.text.length;
            expect(apart).toBe(true);
          }
      }),
    );
  });
});
