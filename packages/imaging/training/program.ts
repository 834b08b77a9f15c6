import path from 'node:path';
import { Worker } from 'node:worker_threads';

/** File of another program of this folder. */
export function programAt(name: string): string {
  return path.join(import.meta.dirname, `${name}.ts`);
}

/** What Node needs to run it. */
export const runnerArguments: readonly string[] = ['--import', 'tsx'];

/** A thread that runs another program of this folder: its loader must be set up in the thread itself. */
export function newThread(name: string, workerData: unknown): Worker {
  const text = `import('tsx/esm/api').then(({ tsImport }) => tsImport(${JSON.stringify(`file://${programAt(name)}`)}, ${JSON.stringify(`file://${import.meta.filename}`)}))`;
  return new Worker(text, { eval: true, workerData });
}
