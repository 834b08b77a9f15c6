import { defineConfig } from 'vitest/config';

const database = ['./tests/support/database-setup.ts'];

/**
 * Files of one worker share what they import, which spares half the time of the short ones: a test that replaces a module
 * imports it anew and lets it go (see no-decoder.test.ts), and leaves nothing on globals.
 */
const shared = { isolate: false };

export default defineConfig({
  test: {
    maxWorkers: 2,
    projects: [
      {
        test: {
          ...shared,
          name: 'unit',
          include: ['packages/**/*.test.ts', 'tests/outside/**/*.test.ts', 'tests/architecture/**/*.test.ts'],
          exclude: ['**/node_modules/**', '**/toolkit-*.test.ts'],
          testTimeout: 20_000,
        },
      },
      {
        // Against programs outside of npm (DCMTK, GDCM): `npm run compare`, where they are installed.
        test: { name: 'toolkits', include: ['tests/outside/toolkit-*.test.ts'], testTimeout: 120_000 },
      },
      {
        test: {
          ...shared,
          name: 'portal',
          include: ['apps/portal/**/*.test.{ts,tsx}'],
          environment: 'happy-dom',
        },
      },
      {
        test: {
          ...shared,
          name: 'medium',
          include: ['apps/api/**/*.test.ts', 'apps/cli/**/*.test.ts', 'tests/flow/**/*.test.ts'],
          globalSetup: database,
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        test: {
          ...shared,
          name: 'whole',
          include: ['tests/browser/**/*.test.ts', 'tests/faults/**/*.test.ts'],
          globalSetup: [...database, './tests/support/browser-setup.ts'],
          // A busy machine is slow, never wrong: see PATIENCE_MS in tests/support/browser.ts.
          expect: { poll: { timeout: 60_000, interval: 100 } },
          testTimeout: 300_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
});
