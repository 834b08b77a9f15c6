import { createHash } from 'node:crypto';
import { readdirSync } from 'node:fs';
import path from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';

/** Tells the service worker which files make up this build, all lazy parts and workers among them. */
function programFiles(): Plugin {
  return {
    name: 'program-files',
    apply: 'build',
    generateBundle: {
      order: 'post',
      handler(_options, bundle) {
        const served = readdirSync(path.join(import.meta.dirname, 'public'));
        const built = Object.keys(bundle).filter((name) => name.startsWith('assets/'));
        const files = ['/', ...[...built, ...served].map((name) => `/${name}`)].sort();
        const page = bundle['index.html'];
        const version = createHash('sha256')
          .update(JSON.stringify([files, page?.type === 'asset' ? String(page.source) : '']))
          .digest('hex')
          .slice(0, 12);
        const worker = bundle['sw.js'];
        if (worker?.type !== 'chunk') throw new Error('the service worker was not built');
        worker.code = worker.code
          .replaceAll('PROGRAM_FILES', JSON.stringify(files))
          .replaceAll('PROGRAM_VERSION', JSON.stringify(version));
      },
    },
  };
}

export default defineConfig({
  plugins: [react(), programFiles()],
  worker: { format: 'es' },
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
    sourcemap: false,
    rollupOptions: {
      input: { index: 'index.html', sw: 'src/service-worker/sw.ts' },
      output: { entryFileNames: (chunk) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js') },
    },
  },
  server: { proxy: { '/api': process.env['CHORDAE_API'] ?? 'http://127.0.0.1:4600' } },
});
