// `npm run bench`: runs each program of tests/bench; every figure is one JSON line. `npm run bench -- NAME` runs one.
import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import path from 'node:path';
import { ensureInstalled, root } from './install.mjs';

ensureInstalled((line) => console.error(`chordae: ${line}`));
const wanted = process.argv[2];
const folder = path.join(root, 'tests/bench');
let failed = false;
for (const file of readdirSync(folder).filter(
  (f) => f.endsWith('.bench.ts') && (!wanted || f.startsWith(wanted)),
)) {
  console.error(`\n== ${file}`);
  // The collector, for programs that read the heap: without it they would read what was not yet given up.
  const done = spawnSync(process.execPath, ['--expose-gc', '--import', 'tsx', path.join(folder, file)], {
    cwd: root,
    stdio: 'inherit',
  });
  failed ||= done.status !== 0;
}
process.exit(failed ? 1 : 0);
