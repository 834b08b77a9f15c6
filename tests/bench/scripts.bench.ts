import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { launchBrowser } from '../support/browser';
import { startDemo } from '../support/demo-system';
import { figure } from './figures';

/** Script that each page really asks for, compressed: a browser opens the page and the answers are counted. */
const root = path.resolve(import.meta.dirname, '../..');
spawnSync(process.execPath, [path.join(root, 'infra/build.mjs')], { stdio: 'inherit' });
const system = await startDemo();
const browser = await launchBrowser();

async function scriptBytes(where: string, email: string | null): Promise<number> {
  const context = await browser.newContext({ locale: 'en-GB' });
  if (email)
    await context.request.post(`${system.url}/api/sessions`, { data: { email, password: system.password } });
  const page = await context.newPage();
  let total = 0;
  const reads: Promise<void>[] = [];
  page.on('response', (response) => {
    if (!/\.js(\?|$)/.test(response.url())) return;
    reads.push(
      response
        .body()
        .then((body) => void (total += gzipSync(body).length))
        .catch(() => {}),
    );
  });
  await page.goto(system.url + where);
  await page.waitForTimeout(2500);
  await Promise.all(reads);
  await context.close();
  return total / 1000;
}

try {
  figure('landing page, script, gzip, aim 150 kB', await scriptBytes('/', null), 'kB');
  figure('sign-in page, script, gzip, aim 150 kB', await scriptBytes('/sign-in', null), 'kB');
  figure('queue, script, gzip, aim 300 kB', await scriptBytes('/queue', system.cardiologist), 'kB');
  figure('referral sheet, script, gzip, aim 300 kB', await scriptBytes(system.sheet, system.vet), 'kB');
} finally {
  await browser.close();
  await system.stop();
}
