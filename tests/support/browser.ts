import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

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
  if (own && process.env['CHORDAE_BROWSER'] !== 'npm') return chromium.launch({ executablePath: own, args });
  // It unpacks its libraries only where it takes itself to be on such a machine; a bare one needs them.
  process.env['AWS_EXECUTION_ENV'] ??= 'AWS_Lambda_nodejs20.x';
  const brought = (await import('@sparticuz/chromium')).default;
  return chromium.launch({ executablePath: await brought.executablePath(), args });
}
