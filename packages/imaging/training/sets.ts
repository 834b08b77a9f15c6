import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import path from 'node:path';
import { programAt, runnerArguments } from './program';
import type { SampleSet } from './recipe';
import type { Labels } from './samples';

export interface Loaded {
  readonly set: SampleSet;
  readonly patches: Uint8Array;
  readonly labels: readonly Labels[];
}

interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly file: string;
}

/**
 * Makes the stretches of a set that are not there yet, as many at once as there are cores, and loads them all. `program` is
 * called with the set's name, first and last number, and the file to write.
 */
export async function loadStretches(
  program: string,
  name: string,
  count: number,
  folder: string,
  stretch = 2000,
): Promise<{ readonly patches: Uint8Array; readonly labels: readonly unknown[] }> {
  mkdirSync(folder, { recursive: true });
  const stretches: Stretch[] = [];
  for (let from = 0; from < count; from += stretch) {
    const to = Math.min(count, from + stretch);
    stretches.push({ from, to, file: path.join(folder, `${name.replace(/[^a-z]+/g, '-')}-${from}`) });
  }
  const waiting = stretches.filter(({ file }) => !existsSync(`${file}.labels`));
  await Promise.all(
    Array.from({ length: availableParallelism() }, async () => {
      for (let next = waiting.shift(); next; next = waiting.shift()) await make(program, name, next);
    }),
  );
  const labels = stretches.flatMap(
    ({ file }) => JSON.parse(readFileSync(`${file}.labels`, 'utf8')) as unknown[],
  );
  return { patches: Buffer.concat(stretches.map(({ file }) => readFileSync(`${file}.patches`))), labels };
}

async function make(program: string, name: string, { from, to, file }: Stretch): Promise<void> {
  const args = [...runnerArguments, programAt(program), name, String(from), String(to), file];
  await new Promise<void>((resolve, reject) => {
    const child = spawn(process.execPath, args, { stdio: 'inherit' });
    child.on('error', reject);
    child.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`${program} ended with ${code}`))));
  });
}

export async function loadSet(set: SampleSet, folder: string): Promise<Loaded> {
  const { patches, labels } = await loadStretches('make-samples', set.name, set.count, folder, 400);
  return { set, patches, labels: labels as Labels[] };
}
