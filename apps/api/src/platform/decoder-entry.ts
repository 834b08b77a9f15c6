import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The decoder process's program: beside the bundle when bundled, else the package's own source with a loader, as in tests. */
export function decoderEntry(): { entry?: string; nodeArguments?: string[] } {
  for (const place of ['./decoder-process.js', '../decoder-process.js']) {
    const bundled = fileURLToPath(new URL(place, import.meta.url));
    if (existsSync(bundled)) return { entry: bundled };
  }
  return { nodeArguments: ['--import', 'tsx'] };
}
