import type { TestProject } from 'vitest/node';
import { startBrowserServer } from './browser';

declare module 'vitest' {
  interface ProvidedContext {
    /** Where the one Chromium of a run listens. */
    browserAddress: string;
  }
}

/** One Chromium for all files of a run: each connects to it and has contexts of its own. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const server = await startBrowserServer();
  project.provide('browserAddress', server.wsEndpoint());
  // A browser that does not close must not hold up the run.
  return () => server.kill();
}
