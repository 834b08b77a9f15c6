// `npm start`: installs, builds, starts or adopts the database, migrates, loads the demo into an empty one, then keeps
// API and worker running until Ctrl-C. A part that dies is started again; the database goes last.
import { spawn, spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { ensureInstalled, root } from './install.mjs';

const log = (line) => console.log(`chordae: ${line}`);

async function main() {
  ensureInstalled(log);
  // In a process of its own: a bundler's memory must not stay with the launcher.
  const built = spawnSync(process.execPath, [path.join(root, 'infra/build.mjs')], {
    cwd: root,
    stdio: 'inherit',
  });
  if (built.status !== 0) throw new Error('the build failed: see the lines above.');
  const portalFolder = path.join(root, 'apps/portal/dist');
  const data = process.env.CHORDAE_DATA || defaultDataFolder();
  mkdirSync(data, { recursive: true });
  const database = process.env.DATABASE_URL
    ? null
    : await (await import('./database.mjs')).startDatabase({ folder: data, log });
  const url = process.env.DATABASE_URL || database.url;
  const environment = {
    ...process.env,
    CHORDAE_DATA: data,
    DATABASE_URL: url,
    CHORDAE_PORTAL: portalFolder,
    NODE_ENV: 'production',
  };
  const cli = path.join(root, 'dist', 'chordae.js');
  try {
    await once(cli, ['migrate', '--quiet'], environment);
    if ((process.env.CHORDAE_DEMO || 'yes') === 'yes') await once(cli, ['demo', '--if-empty'], environment);
  } catch (error) {
    await database?.stop();
    throw error;
  }
  const parts = [
    keep('API and portal', cli, ['serve'], environment),
    keep('worker', cli, ['worker'], environment),
  ];
  let stopping = false;
  const stop = async (signal) => {
    if (stopping) return;
    stopping = true;
    log(`stopping (${signal})`);
    await Promise.all(parts.map((p) => p.stop()));
    await database?.stop();
    log('stopped; everything that was acknowledged is on disk');
    process.exit(0);
  };
  process.on('SIGINT', () => void stop('Ctrl-C'));
  process.on('SIGTERM', () => void stop('SIGTERM'));
  process.on('SIGHUP', () => void stop('SIGHUP'));
}

function defaultDataFolder() {
  if (process.getuid?.() === 0) return '/var/lib/chordae';
  return path.join(
    process.env.XDG_STATE_HOME || path.join(process.env.HOME || '.', '.local', 'state'),
    'chordae',
  );
}

function once(cli, args, env) {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ['--enable-source-maps', cli, ...args], {
      env,
      stdio: 'inherit',
      detached: true,
    });
    child.on('exit', (code) =>
      code === 0 ? resolve() : reject(new Error(`chordae ${args.join(' ')} ended with ${code}`)),
    );
  });
}

/** Keeps one part running: started again after a pause when it dies, told to stop once. */
function keep(name, cli, args, env) {
  let child = null;
  let stopped = false;
  let pause = 200;
  const launch = () => {
    const started = Date.now();
    // A group of its own, so that Ctrl-C in the terminal reaches only this launcher.
    child = spawn(process.execPath, ['--enable-source-maps', cli, ...args], {
      env: { ...env, CHORDAE_PARENT: String(process.pid) },
      stdio: 'inherit',
      detached: true,
    });
    child.on('exit', (code, signal) => {
      child = null;
      if (stopped) return;
      pause = Date.now() - started > 10_000 ? 200 : Math.min(pause * 2, 10_000);
      log(`${name} ended (${signal ?? code}); starting it again`);
      setTimeout(() => {
        if (!stopped) launch();
      }, pause);
    });
  };
  launch();
  return {
    async stop() {
      stopped = true;
      const running = child;
      if (!running) return;
      const gone = new Promise((resolve) => running.once('exit', resolve));
      running.kill('SIGTERM');
      const late = setTimeout(() => running.kill('SIGKILL'), 15_000);
      await gone;
      clearTimeout(late);
    },
  };
}

main().catch((error) => {
  console.error(`chordae: ${error instanceof Error ? error.message : error}`);
  process.exit(1);
});
