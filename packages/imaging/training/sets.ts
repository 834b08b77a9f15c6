import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import path from 'node:path';
import type { SampleSet } from './recipe';
import type { Labels } from './samples';
import { patchBytes } from './samples';

export interface Loaded {
  readonly set: SampleSet;
  readonly patches: Uint8Array;
  readonly labels: readonly Labels[];
}

const stretch = 2000;

/** Makes the stretches of a set that are not there yet, as many at once as there are cores, and loads them all. */
export async function loadSet(set: SampleSet, folder: string): Promise<Loaded> {
  mkdirSync(folder, { recursive: true });
  const stretches: { from: number; to: number; file: string }[] = [];
  for (let from = 0; from < set.count; from += stretch) {
    const to = Math.min(set.count, from + stretch);
    stretches.push({ from, to, file: path.join(folder, `${set.name.replace(/[^a-z]+/g, '-')}-${from}`) });
  }
  const waiting = stretches.filter(({ file }) => !existsSync(`${file}.labels`));
  await Promise.all(Array.from({ length: availableParallelism() }, () => makeWaiting(set, waiting)));
  const labels: Labels[] = [];
  const patches: Uint8Array[] = [];
  for (const { file } of stretches) {
    patches.push(readFileSync(`${file}.patches`));
    labels.push(...(JSON.parse(readFileSync(`${file}.labels`, 'utf8')) as Labels[]));
  }
  const joined = new Uint8Array(labels.length * patchBytes);
  let at = 0;
  for (const piece of patches) {
    joined.set(piece, at);
    at += piece.length;
  }
  return { set, patches: joined, labels };
}

async function makeWaiting(
  set: SampleSet,
  waiting: { from: number; to: number; file: string }[],
): Promise<void> {
  for (let next = waiting.shift(); next; next = waiting.shift()) {
    const { from, to, file } = next;
    const program = path.join(import.meta.dirname, 'make-samples.ts');
    const args = ['--import', 'tsx', program, set.name, String(from), String(to), file];
    await new Promise<void>((resolve, reject) => {
      const child = spawn(process.execPath, args, { stdio: 'inherit' });
      child.on('error', reject);
      child.on('exit', (code) =>
        code === 0 ? resolve() : reject(new Error(`make-samples ended with ${code}`)),
      );
    });
  }
}
