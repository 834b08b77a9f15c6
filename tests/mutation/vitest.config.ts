import path from 'node:path';
import { defineConfig } from 'vitest/config';

/** The tests that judge the rules: those of the package and the published examples. */
export default defineConfig({
  root: path.resolve(import.meta.dirname, '../..'),
  test: {
    include: ['packages/interpretation/**/*.test.ts', 'tests/outside/**/*.test.ts'],
    // These two read the source as text: a mutant would not change what they see.
    exclude: ['tests/outside/problem-words.test.ts', 'tests/outside/words-cover.test.ts'],
    testTimeout: 60_000,
    maxWorkers: 1,
  },
});
