import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

/**
 * How long a page may take before a test says that something does not come: a busy machine is slow, never wrong.
 * A test that passes does not wait for it.
 */
export const PATIENCE_MS = 60_000;

/** One Chromium a run: the machine's own where there is one, else the one that npm brings. */
export async function launchBrowser(): Promise<Browser> {
  const own = [
    process.env['CHORDAE_CHROMIUM'],
    '/usr/bin/chromium',
    '/usr/bin/chromium-browser',
    '/usr/bin/google-chrome',
  ].find((p) => p !== undefined && p !== '' && existsSync(p));
  const args = [
    '--no-sandbox',
    '--no-zygote',
    '--disable-gpu',
    '--disable-background-networking',
    '--no-first-run',
    '--disable-component-update',
    '--disable-sync',
  ];
  if (own && process.env['CHORDAE_BROWSER'] !== 'npm') return launchServed(own, args);
  // It unpacks its libraries only where it takes itself to be on such a machine; a bare one needs them.
  process.env['AWS_EXECUTION_ENV'] ??= 'AWS_Lambda_nodejs20.x';
  const brought = (await import('@sparticuz/chromium')).default;
  return launchServed(await brought.executablePath(), args);
}

/** Through a server whose process can be killed: a browser that does not close must not hold up the run. */
async function launchServed(executablePath: string, args: string[]): Promise<Browser> {
  const server = await chromium.launchServer({ executablePath, args });
  const browser = await chromium.connect(server.wsEndpoint());
  const close = browser.close.bind(browser);
  browser.close = async () => {
    await Promise.race([close(), new Promise((resolve) => setTimeout(resolve, 5000))]);
    await server.kill();
  };
  return browser;
}
