// `npm test`: installs, then types, lint, unit, feature, flow, browser and fault tests. Prints what was not run, and
// with CHORDAE_REQUIRE=all anything not run is a failure.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { stripVTControlCharacters } from 'node:util';
import { ensureInstalled, root } from './install.mjs';

const only = process.argv.includes('--only') ? process.argv[process.argv.indexOf('--only') + 1] : null;
const strict = process.env.CHORDAE_REQUIRE === 'all';
const bin = (name) =>
  path.join(root, 'node_modules', '.bin', process.platform === 'win32' ? `${name}.cmd` : name);
const results = [];
/** What failed, for the end of the output: a log is often cut to its tail. */
const failures = [];

function step(name, command, args, options = {}) {
  const started = Date.now();
  console.log(`\n== ${name}`);
  const done = spawnSync(command, args, {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, ...options.env },
  });
  const seconds = ((Date.now() - started) / 1000).toFixed(1);
  results.push({ name, ok: done.status === 0, seconds });
  return done.status === 0;
}

const plain = (text) => stripVTControlCharacters(String(text ?? ''));

/** One failed test in a few lines: its name, the message, and where in our own files. */
function failureOf(file, test) {
  const lines = plain(test.failureMessages?.join('\n')).split('\n');
  const where = lines.filter((l) => l.includes('/tests/') || l.includes('.test.ts')).slice(0, 3);
  return [`${path.relative(root, file)}: ${test.fullName}`, ...lines.slice(0, 8), ...where].join('\n    ');
}

/** Runs vitest projects and returns the tests that were skipped. */
function vitest(name, projects) {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-report-'));
  const report = path.join(folder, 'report.json');
  step(name, bin('vitest'), [
    'run',
    ...projects.flatMap((p) => ['--project', p]),
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${report}`,
  ]);
  const skipped = [];
  if (existsSync(report)) {
    for (const file of JSON.parse(readFileSync(report, 'utf8')).testResults) {
      for (const t of file.assertionResults)
        if (t.status !== 'passed' && t.status !== 'failed')
          skipped.push(`${path.relative(root, file.name)}: ${t.fullName}`);
        else if (t.status === 'failed') failures.push(failureOf(file.name, t));
      if (file.status === 'failed' && file.assertionResults.every((t) => t.status !== 'failed'))
        failures.push(`${path.relative(root, file.name)}: ${plain(file.message).slice(0, 600)}`);
    }
  }
  rmSync(folder, { recursive: true, force: true });
  return skipped;
}

ensureInstalled((line) => console.log(`chordae: ${line}`));
const skipped = [];
step('types', bin('tsc'), ['-b']);
step('types of the tests', bin('tsc'), ['-p', 'tests/tsconfig.json']);
step('lint', bin('oxlint'), ['--type-aware', '--deny-warnings']);
step('format', bin('biome'), ['check', '.']);
if (only !== 'static') {
  skipped.push(...vitest('unit, feature and flow tests', ['unit', 'portal', 'medium']));
  step('build', process.execPath, ['infra/build.mjs']);
  skipped.push(...vitest('browser and fault tests', ['whole']));
}
console.log('\n== summary');
for (const r of results) console.log(`${r.ok ? 'passed' : 'FAILED'}  ${r.name} (${r.seconds} s)`);
if (skipped.length > 0)
  console.log(`\nNot run (${skipped.length}):\n${skipped.map((s) => `  ${s}`).join('\n')}`);
else if (only === null) console.log('Everything was run.');
if (failures.length > 0)
  console.log(`\nFailed (${failures.length}):\n${failures.map((f) => `  ${f}`).join('\n')}`);
// Programs that npm does not bring: what is only compared with one is no part of the tests where it is not installed.
const absent = ['ffmpeg', 'djxl', 'dciodvfy'].filter(
  (p) => spawnSync(p, ['--version'], { stdio: 'ignore' }).error,
);
if (only === null && absent.length > 0)
  console.log(`Not compared with, since not installed: ${absent.join(', ')}.`);
const failed = results.some((r) => !r.ok) || (strict && skipped.length > 0);
process.exit(failed ? 1 : 0);
