import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { build } from 'esbuild';
import { describe, expect, it } from 'vitest';

const root = path.resolve(import.meta.dirname, '../..');

/** What a page has to fetch before it can judge a number: the engine with all its limits, as a browser gets it. */
describe('the engine in a browser', () => {
  it('takes no more than 60 kB compressed, limits included, and brings no schema library along', async () => {
    const built = await build({
      entryPoints: [path.join(root, 'packages/interpretation/src/index.ts')],
      bundle: true,
      minify: true,
      write: false,
      metafile: true,
      format: 'esm',
      platform: 'browser',
      logLevel: 'silent',
    });
    const inputs = Object.keys(built.metafile.inputs);
    expect(inputs.some((file) => file.endsWith('limits-data.ts'))).toBe(true);
    expect(inputs.filter((file) => file.includes('node_modules'))).toEqual([]);
    const bytes = gzipSync(built.outputFiles[0]?.contents ?? new Uint8Array(), { level: 9 }).length;
    console.log(`the engine in a browser: ${(bytes / 1000).toFixed(1)} kB compressed`);
    expect(bytes).toBeGreaterThan(10_000);
    expect(bytes).toBeLessThanOrEqual(60_000);
  });
});
