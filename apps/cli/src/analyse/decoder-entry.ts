import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { ChildOptions } from '@chordae/codecs/node';

/** The decoder process's program: beside the bundle, or in development the package's own source with a loader. */
export function decoderEntry(): ChildOptions {
  for (const place of ['./decoder-process.js', '../decoder-process.js']) {
    const bundled = fileURLToPath(new URL(place, import.meta.url));
    if (existsSync(bundled)) return { entry: bundled };
  }
  return { nodeArguments: ['--import', 'tsx'] };
}
