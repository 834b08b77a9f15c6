import type { WeightRecord } from '@chordae/contract';
import { expect, it } from 'vitest';
import { chartedWeights } from './charted-weights';

const weight = (weighedOn: string, weightKg: number, guessed = false): WeightRecord => ({
  id: weighedOn,
  weightKg,
  asTyped: '',
  guessed,
  weighedOn,
});

it('draws the oldest first, guessed ones hollow, and of one day the measured one', () => {
  const drawn = chartedWeights([
    weight('2026-03-01', 9, true),
    weight('2026-02-01', 8, true),
    weight('2026-02-01', 7.5),
    weight('2026-01-01', 7),
    weight('2026-01-01', 6.5),
  ]);
  expect(drawn.map((v) => [v.day, v.value, v.graded])).toEqual([
    ['2026-01-01', 7, true],
    ['2026-02-01', 7.5, true],
    ['2026-03-01', 9, false],
  ]);
});
