import { expect, it } from 'vitest';
import { pathOfDrawing } from './frame-picture';

it('draws an ellipse as wide as it was measured: by the distance from the first axis', () => {
  const points = [
    { x: 0, y: 0 },
    { x: 10, y: 0 },
    { x: 8, y: 3 },
  ];
  expect(pathOfDrawing({ shape: 'ellipse', points, axis: null, label: '' })).toBe(
    'M0 0 A5 3 0 1 0 10 0 A5 3 0 1 0 0 0',
  );
});
