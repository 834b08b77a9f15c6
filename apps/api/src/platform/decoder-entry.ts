import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The decoder process's program: beside the bundle when bundled, else the package's own source (run by the tests). */
export function decoderEntry(): string {
  const bundled = fileURLToPath(new URL('./decoder-process.js', import.meta.url));
  if (existsSync(bundled)) return bundled;
  return fileURLToPath(new URL('../../../../packages/codecs/src/node/decoder-process.ts', import.meta.url));
}
