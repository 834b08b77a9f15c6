import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { type Browser, type BrowserContext, type BrowserServer, chromium } from 'playwright-core';
import { inject } from 'vitest';

/**
 * How long a page may take before a test says that something does not come: a busy machine is slow, never wrong.
 * A test that passes does not wait for it.
 */
export const PATIENCE_MS = 60_000;

export const BROWSER_ARGS = [
  '--no-sandbox',
  '--no-zygote',
  '--disable-gpu',
  '--disable-background-networking',
  '--no-first-run',
  '--disable-component-update',
  '--disable-sync',
];

/** Chromium as a process that others connect to. */
export async function startBrowserServer(): Promise<BrowserServer> {
  return chromium.launchServer({ executablePath: await browserProgram(), args: BROWSER_ARGS });
}

/** The machine's own Chromium where there is one, else the one that npm brings. */
export async function browserProgram(): Promise<string> {
  const own = [
    process.env['CHORDAE_CHROMIUM'],
    '/usr/bin/chromium',
    '/usr/bin/chromium-browser',
    '/usr/bin/google-chrome',
  ].find((p) => p !== undefined && p !== '' && existsSync(p));
  if (own && process.env['CHORDAE_BROWSER'] !== 'npm') return own;
  // It unpacks its libraries only where it takes itself to be on such a machine; a bare one needs them.
  process.env['AWS_EXECUTION_ENV'] ??= 'AWS_Lambda_nodejs20.x';
  const brought = (await import('@sparticuz/chromium')).default;
  return brought.executablePath();
}

export interface KillableBrowser {
  readonly context: BrowserContext;
  /** As when the battery goes: no page is told. What it keeps lies in its folder. */
  kill(): Promise<void>;
}

/** A browser with a folder of its own, which can be killed and started again on the same folder. */
export async function launchOn(folder: string): Promise<KillableBrowser> {
  const context = await chromium.launchPersistentContext(folder, {
    executablePath: await browserProgram(),
    args: BROWSER_ARGS,
    locale: 'en-GB',
    viewport: { width: 1024, height: 900 },
    reducedMotion: 'reduce',
  });
  return {
    context,
    async kill() {
      const gone = new Promise((resolve) => context.once('close', resolve));
      for (const pid of processesOn(folder)) {
        try {
          process.kill(pid, 'SIGKILL');
        } catch {
          // Gone with its parent already.
        }
      }
      await gone;
    },
  };
}

/** Processes that were started on this folder, by their own command line. */
function processesOn(folder: string): number[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map(Number)
    .filter((pid) => {
      try {
        return readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes(`--user-data-dir=${folder}`);
      } catch {
        return false;
      }
    });
}

/** The run's Chromium; a program outside a run starts one of its own. Closing ends one's own contexts. */
export async function launchBrowser(): Promise<Browser> {
  const address = addressOfRun();
  const server = address === null ? await startBrowserServer() : null;
  const browser = await chromium.connect(address ?? server?.wsEndpoint() ?? '');
  const close = browser.close.bind(browser);
  browser.close = async () => {
    // A browser that does not close must not hold up the run.
    await Promise.race([close(), new Promise((resolve) => setTimeout(resolve, 5000))]);
    await server?.kill();
  };
  return browser;
}

function addressOfRun(): string | null {
  try {
    return inject('browserAddress');
  } catch {
    return null;
  }
}
