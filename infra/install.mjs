// Installs what package-lock.json names when it is not there yet; knows by a stamp, so the second start takes no time.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '..');

/** @param {(line: string) => void} log */
export function ensureInstalled(log) {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major < 20 || (major === 20 && minor < 19)) {
    throw new Error(`Chordae needs Node 20.19 or newer; this is ${process.versions.node}.`);
  }
  const stamp = path.join(root, 'node_modules', '.chordae-installed');
  const wanted = createHash('sha256')
    .update(readFileSync(path.join(root, 'package-lock.json')))
    .digest('hex');
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return;
  log('installing packages (once; one to three minutes)');
  const npm = process.env.npm_execpath;
  const [command, args] = npm
    ? [process.execPath, [npm]]
    : [process.platform === 'win32' ? 'npm.cmd' : 'npm', []];
  const done = spawnSync(command, [...args, 'ci', '--no-audit', '--no-fund', '--loglevel=error'], {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
  });
  if (done.status !== 0) throw new Error('npm ci failed: see the lines above.');
  writeFileSync(stamp, wanted);
}
