/**
 * Mutation testing of the rules, apart from `npm test`: `node infra/mutate.mjs` for all of them, `node infra/mutate.mjs
 * rules/mitral` for one file. The tool is installed under tests/mutation the first time. Prints the score per file; the
 * report with every survivor lies in dist/mutation.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import path from 'node:path';

const root = path.resolve(import.meta.dirname, '..');
const place = path.join(root, 'tests/mutation');
const run = (command, args, cwd, env = {}) => {
  const { status } = spawnSync(command, args, { cwd, stdio: 'inherit', env: { ...process.env, ...env } });
  if (status !== 0) process.exit(status ?? 1);
};

if (!existsSync(path.join(place, 'node_modules/@stryker-mutator/core')))
  run('npm', ['install', '--no-audit', '--no-fund', '--no-package-lock'], place);
run(
  process.execPath,
  [
    path.join(place, 'node_modules/@stryker-mutator/core/bin/stryker.js'),
    'run',
    'tests/mutation/stryker.config.mjs',
  ],
  root,
  process.argv[2] ? { MUTATE_SHARD: process.argv[2] } : {},
);
