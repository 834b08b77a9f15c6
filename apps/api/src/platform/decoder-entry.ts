import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/**
 * A program that touches untrusted pictures in a process of its own: beside the bundle when bundled, else its source with a
 * loader, as in tests (`source`; by default the package's own decoder).
 */
export function processEntry(name: string, source?: URL): { entry?: URL | string; nodeArguments?: string[] } {
  for (const place of [`./${name}.js`, `../${name}.js`]) {
    const bundled = fileURLToPath(new URL(place, import.meta.url));
    if (existsSync(bundled)) return { entry: bundled };
  }
  return { nodeArguments: ['--import', 'tsx'], ...(source ? { entry: source } : {}) };
}

/** The process that reads originals. */
export function decoderEntry(): { entry?: URL | string; nodeArguments?: string[] } {
  return processEntry('decoder-process');
}
