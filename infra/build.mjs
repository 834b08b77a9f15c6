// Bundles server, worker, CLI and the processes that touch untrusted pictures into dist/, and builds the portal. Skips what has not changed.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { root } from './install.mjs';

const sources = ['packages', 'apps', 'shared', 'infra/build.mjs', 'package-lock.json'];

/** Hash over names, sizes and times of all sources: cheap, and right as long as an edit touches its file. */
function fingerprint(places) {
  const hash = createHash('sha256');
  const visit = (file) => {
    const stat = statSync(file);
    if (stat.isDirectory()) {
      for (const name of readdirSync(file).sort())
        if (name !== 'node_modules' && name !== 'dist') visit(path.join(file, name));
    } else hash.update(`${path.relative(root, file)}|${stat.size}|${stat.mtimeMs}\n`);
  };
  for (const place of places) visit(path.join(root, place));
  return hash.digest('hex');
}

/** Workspace packages go into the bundle; everything from the registry stays outside. */
const externalPackages = {
  name: 'external-packages',
  setup(build) {
    build.onResolve({ filter: /^[^./]/ }, (args) =>
      args.path.startsWith('@chordae/') || args.kind === 'entry-point'
        ? undefined
        : { path: args.path, external: true },
    );
  },
};

export async function buildAll({ log = () => {}, portal = true } = {}) {
  const dist = path.join(root, 'dist');
  mkdirSync(dist, { recursive: true });
  const stampFile = path.join(dist, `built-${portal ? 'all' : 'server'}`);
  const wanted = fingerprint(sources);
  const portalFolder = path.join(root, 'apps', 'portal', 'dist');
  const complete =
    existsSync(path.join(dist, 'chordae.js')) &&
    (!portal || existsSync(path.join(portalFolder, 'index.html')));
  if (complete && existsSync(stampFile) && readFileSync(stampFile, 'utf8') === wanted)
    return { built: false, portalFolder };
  log('building');
  const { build } = await import('esbuild');
  await build({
    entryPoints: {
      chordae: path.join(root, 'apps/cli/src/main.ts'),
      'assess-process': path.join(root, 'apps/api/src/features/assessments/assess-process.ts'),
      'decoder-process': path.join(root, 'packages/codecs/src/node/decoder-process.ts'),
    },
    outdir: dist,
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    sourcemap: true,
    chunkNames: 'chunks/[name]-[hash]',
    plugins: [externalPackages],
    logLevel: 'warning',
    banner: {
      js: "import { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
    },
  });
  if (portal) {
    // The portal's own vite, wherever npm has put it.
    const require = createRequire(path.join(root, 'apps/portal/package.json'));
    const vite = await import(
      pathToFileURL(path.join(path.dirname(require.resolve('vite/package.json')), 'dist/node/index.js')).href
    );
    // vite keeps a NODE_ENV that is set, and under a test's it would ship React's development build.
    const before = process.env.NODE_ENV;
    process.env.NODE_ENV = 'production';
    await vite.build({ root: path.join(root, 'apps/portal'), logLevel: 'warn' });
    if (before === undefined) delete process.env.NODE_ENV;
    else process.env.NODE_ENV = before;
  }
  writeFileSync(stampFile, wanted);
  return { built: true, portalFolder };
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  await buildAll({ log: (line) => console.log(`chordae: ${line}`) });
  // esbuild keeps a helper process; without this the program would not end by itself.
  const { stop } = await import('esbuild');
  await stop();
}
