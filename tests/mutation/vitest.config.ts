import path from 'node:path';
import { defineConfig } from 'vitest/config';

const root = path.resolve(import.meta.dirname, '../..');
/** Packages resolve inside the copy that is mutated, not through node_modules to the originals. */
const alias = Object.fromEntries(
  ['contract', 'interpretation', 'measurement', 'units', 'words'].map((name) => [
    `@chordae/${name}`,
    path.join(root, `packages/${name}/src/index.ts`),
  ]),
);

/** `MUTATE_QUICK=1` leaves the long property tests out: a lower bound of the score in a tenth of the time. */
const slow =
  process.env.MUTATE_QUICK === '1'
    ? [
        '**/properties.test.ts',
        '**/directions.test.ts',
        '**/sha256.test.ts',
        '**/entry.test.ts',
        '**/toolkit-*.test.ts',
      ]
    : [];

/** `MUTATE_NO_KEPT=1` leaves out the kept answers, which hold whatever the engine said on the day that they were kept. */
const kept = process.env.MUTATE_NO_KEPT === '1' ? ['**/answers.test.ts'] : [];

/** The tests that judge the rules: those of the package and the published examples. */
export default defineConfig({
  root,
  resolve: { alias },
  test: {
    include: process.env.MUTATE_TESTS?.split(',') ?? [
      'packages/interpretation/**/*.test.ts',
      'tests/outside/**/*.test.ts',
    ],
    exclude: [
      // These two read the source as text: a mutant would not change what they see.
      'tests/outside/problem-words.test.ts',
      'tests/outside/words-cover.test.ts',
      // These two judge pixels, and pull in decoders that no rule knows.
      'tests/outside/calibration.test.ts',
      'tests/outside/toolkit-coded.test.ts',
      ...slow,
      ...kept,
    ],
    testTimeout: 60_000,
    maxWorkers: 1,
  },
});
