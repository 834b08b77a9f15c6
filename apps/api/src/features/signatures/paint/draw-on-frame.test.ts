import { expect, it } from 'vitest';
import { drawOnFrame } from './draw-on-frame';
import type { Doc } from './paper';

it('draws an ellipse as wide as it was measured: by the distance from the first axis', () => {
  const ellipses: unknown[][] = [];
  const doc: Doc = new Proxy({} as Doc, {
    get: (_doc, name) =>
      function record(...given: unknown[]) {
        if (name === 'ellipse') ellipses.push(given);
        return doc;
      },
  });
  const points = [
    { x: 0, y: 0 },
    { x: 10, y: 0 },
    { x: 8, y: 3 },
  ];
  drawOnFrame(doc, { x: 0, y: 0, scale: 2, widthPt: 100, heightPt: 100 }, [
    { shape: 'ellipse', points, axis: null, label: '' },
  ]);
  // Half axes 5 and 3 pixels at two points a pixel; once dark, once light.
  expect(ellipses).toEqual([
    [0, 0, 10, 6],
    [0, 0, 10, 6],
  ]);
});
