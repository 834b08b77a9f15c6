/**
 * Mutation testing of the rule files. One shard per subject: `node infra/mutate.mjs rules/mitral` runs one, without a name
 * all of them one after the other.
 */
const shard = process.env.MUTATE_SHARD ?? '';

export default {
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner'],
  vitest: { configFile: 'tests/mutation/vitest.config.ts', related: false },
  mutate: [
    `packages/interpretation/src/${shard === '' ? '{rules,act-now,recipes,plans,change}/**/*' : shard}.ts`,
    '!**/*.test.ts',
    '!packages/interpretation/src/limits/*-data.ts',
  ],
  coverageAnalysis: 'perTest',
  // Every test that kills a mutant is named, so that a score without one file of tests can be read from the report.
  disableBail: process.env.MUTATE_ALL_KILLERS === '1',
  ignoreStatic: true,
  concurrency: Number(process.env.MUTATE_WORKERS ?? 2),
  timeoutMS: 5_000,
  reporters: ['json', 'clear-text'],
  jsonReporter: { fileName: `dist/mutation/${(shard || 'all').replaceAll('/', '-')}.json` },
  clearTextReporter: { logTests: false, reportTests: false, allowColor: false },
  tempDirName: 'dist/stryker',
  cleanTempDir: 'always',
  // Sources that no rule imports; their tsconfig files must be there, because the root one names them.
  ignorePatterns: [
    'dist',
    'apps/*/src',
    'apps/*/dist',
    'packages/{phantom,imaging,codecs,report,figure}/src',
    'tests/{browser,faults,flow}',
    'tests/mutation/node_modules',
  ],
  // TypeScript 7 has no API for the tool to rewrite a tsconfig with: it is given none.
  tsconfigFile: 'tests/mutation/none.json',
  disableTypeChecks: true,
  checkers: [],
  symlinkNodeModules: true,
};
