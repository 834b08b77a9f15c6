import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import postgres from 'postgres';
import { figure } from '../bench/figures';
import { BadLine } from '../support/bad-line';
import {
  dropTypeAndSend,
  makeFiles,
  openPage,
  openSheetFor,
  signIn,
  storedHashes,
  waitForFiles,
  waitForSmallThings,
} from '../support/bad-line-referral';
import { launchOn } from '../support/browser';
import { KillableSystem } from '../support/killable-system';
import { makeWorld, PASSWORD } from '../support/world';

/**
 * `npx tsx tests/faults/bad-line.ts [MB] [FILES] [MBIT] [late] [kill]`: an urgent referral with its clips from a browser over a
 * slow line of which every connection is dropped each ten seconds; with `late` it is typed and sent when files are under way already; with `kill` the browser is killed at a third of the
 * way and the session ended at two thirds. Prints what was measured; ends with 1 when anything is missing or changed.
 * Takes fourteen minutes at 200 MB and 2 Mbit/s, so it is no part of `npm test`: `tests/browser/bad-line.test.ts` is.
 */
const [megabytes = 200, count = 20, megabits = 2] = process.argv
  .slice(2, 5)
  .map(Number)
  .map((n) => (Number.isFinite(n) ? n : undefined));
const kills = process.argv.includes('kill');

const root = path.resolve(import.meta.dirname, '../..');
spawnSync(process.execPath, [path.join(root, 'infra/build.mjs')], { stdio: 'inherit' });
const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-bad-line-'));
const system = new KillableSystem();
await system.start();
const admin = postgres(system.databaseUrl, { max: 2, onnotice: () => {} });
const world = await makeWorld(admin);
const line = new BadLine(
  { host: '127.0.0.1', port: Number(new URL(system.url).port) },
  { bitsPerSecond: megabits * 1e6, cutEveryMs: 10_000 },
);
await line.start();
const profile = path.join(folder, 'browser');
let browser = await launchOn(profile);
for (;;) {
  if (
    await fetch(`${system.url}/api/health`).then(
      (r) => r.ok,
      () => false,
    )
  )
    break;
  await new Promise((r) => setTimeout(r, 200));
}
const files = makeFiles(folder, count, (megabytes * 1e6) / count);
const fileBytes = files.reduce((n, f) => n + f.bytes, 0);
const sheet = await openSheetFor(browser.context, { line, world });
let page = await openPage(browser.context, sheet);
await page.waitForTimeout(3000);

const upBefore = line.upBytes;
const began = performance.now();
line.beginCutting();
const sentAt = await dropTypeAndSend(page, files, process.argv.includes('late') ? 30_000 : 0);
figure('bad line: from the drop to Send now, numbers typed between', (sentAt - began) / 1000, 's');
const small = await waitForSmallThings(admin, sheet, files.length, sentAt, 120_000);
for (const [what, ms] of Object.entries(small))
  figure(
    `bad line: after Send now, ${what.replace('Ms', '')} with the readers`,
    (ms ?? Number.NaN) / 1000,
    's',
  );

const comeTo = async (share: number) => {
  while ((line.upBytes - upBefore) / fileBytes < share) await new Promise((r) => setTimeout(r, 500));
};
if (kills) {
  await comeTo(1 / 3);
  await browser.kill();
  browser = await launchOn(profile);
  await signIn(browser.context, system.url, world);
  page = await openPage(browser.context, sheet);
  await comeTo(2 / 3);
  await admin`update sessions set ended_at = now()`;
  await page.getByLabel('Password').waitFor({ timeout: 120_000 });
  const address = page.getByLabel('E-mail address');
  if (await address.isVisible()) await address.fill(world.people.vetA.email);
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Sign in' }).last().click();
}
const least = (fileBytes * 8) / (megabits * 1e6);
await waitForFiles(admin, sheet.referralId, files.length, (least * 3 + 300) * 1000);
const seconds = (performance.now() - began) / 1000;
const stored = await storedHashes(admin, sheet.referralId);
const whole = stored.filter((sha256, n) => sha256 === files[n]?.sha256).length;
figure('bad line: files', files.length, 'files');
figure('bad line: files that arrived with their SHA-256', whole, 'files');
figure('bad line: cuts', line.cuts, 'cuts');
figure(
  'bad line: bytes up for each byte of file, everything counted',
  (line.upBytes - upBefore) / fileBytes,
  '',
);
figure('bad line: time, beside the least that the line allows', seconds, 's', {
  name: 'least',
  value: least,
});

await browser.context.close().catch(() => {});
await line.stop();
await admin.end({ timeout: 5 });
await system.stop();
rmSync(folder, { recursive: true, force: true });
process.exit(whole === files.length && !Object.values(small).includes(null) ? 0 : 1);
