import path from 'node:path';
import { Worker } from 'node:worker_threads';

/** Bundled for a machine without the repository, each program is a file of plain JavaScript beside this one. */
const bundled = import.meta.filename.endsWith('.mjs');

/** File of another program of this folder. */
export function programAt(name: string): string {
  return path.join(import.meta.dirname, bundled ? `${path.basename(name)}.mjs` : `${name}.ts`);
}

/** What Node needs to run it. */
export const runnerArguments: readonly string[] = bundled ? [] : ['--import', 'tsx'];

/** A thread that runs another program of this folder: its loader must be set up in the thread itself. */
export function newThread(name: string, workerData: unknown): Worker {
  if (bundled) return new Worker(programAt(name), { workerData });
  const text = `import('tsx/esm/api').then(({ tsImport }) => tsImport(${JSON.stringify(`file://${programAt(name)}`)}, ${JSON.stringify(`file://${import.meta.filename}`)}))`;
  return new Worker(text, { eval: true, workerData });
}
