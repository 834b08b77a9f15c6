import { expect, it } from 'vitest';
import { seenRows } from './windowed';

it('draws what is seen and a few rows around it, never past the ends', () => {
  expect(seenRows(100, 10, 250, 100, 0)).toEqual({ first: 25, end: 35 });
  expect(seenRows(100, 10, 250, 100, 8)).toEqual({ first: 17, end: 43 });
  expect(seenRows(100, 10, -50, 100, 8)).toEqual({ first: 0, end: 13 });
  expect(seenRows(100, 10, -400, 100, 8)).toEqual({ first: 0, end: 0 });
  expect(seenRows(100, 10, 980, 100, 8)).toEqual({ first: 90, end: 100 });
  expect(seenRows(0, 10, 50, 100, 8)).toEqual({ first: 0, end: 0 });
  // A list that became shorter than where the page stands.
  expect(seenRows(3, 10, 5000, 100, 8)).toEqual({ first: 0, end: 3 });
});
