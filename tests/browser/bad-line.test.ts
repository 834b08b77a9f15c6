import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BadLine } from '../support/bad-line';
import {
  dropTypeAndSend,
  makeFiles,
  type OpenSheet,
  openPage,
  openSheetFor,
  signIn,
  storedHashes,
  waitForFiles,
  waitForSmallThings,
} from '../support/bad-line-referral';
import { type KillableBrowser, launchOn, PATIENCE_MS } from '../support/browser';
import { type RunningSystem, startSystem } from '../support/running-system';
import { makeWorld, PASSWORD, type World } from '../support/world';

/**
 * Eight files over four megabits a second, every connection dropped after each 900 kB: they arrive whole and nearly once,
 * with the browser killed and the session ended on the way; text, numbers and first pictures come first. The whole of it,
 * 200 MB at two megabits a second, is `tests/faults/bad-line.ts`.
 */
let system: RunningSystem;
let world: World;
let line: BadLine;
let folder: string;
let browser: KillableBrowser;

beforeAll(async () => {
  system = await startSystem();
  world = await makeWorld(system.admin);
  folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-bad-line-'));
  const port = Number(new URL(system.url).port);
  line = new BadLine({ host: '127.0.0.1', port }, { bitsPerSecond: 4e6, cutEveryBytes: 900_000 });
  await line.start();
  browser = await launchOn(path.join(folder, 'browser'));
});
afterAll(async () => {
  await browser?.context.close().catch(() => {});
  await line?.stop();
  await system?.stop();
  rmSync(folder, { recursive: true, force: true });
});

const arrived = async (sheet: OpenSheet) =>
  (
    await system.admin<{ n: number }[]>`
      select count(*)::int as n from arrivals where referral_id = ${sheet.referralId} and state in ('arrived', 'read')`
  )[0]?.n ?? 0;

async function signInOnPage(page: Page): Promise<void> {
  const address = page.getByLabel('E-mail address');
  await page.getByLabel('Password').waitFor();
  if (await address.isVisible()) await address.fill(world.people.vetA.email);
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Sign in' }).last().click();
  await page.getByLabel('Password').waitFor({ state: 'detached' });
}

describe('an urgent question on a bad line', () => {
  it('comes before its clips, which arrive whole through cuts, a killed browser and an ended session', async () => {
    const files = makeFiles(folder, 8, 1_000_000);
    const fileBytes = files.reduce((n, f) => n + f.bytes, 0);
    const sheet = await openSheetFor(browser.context, { line, world });
    let page = await openPage(browser.context, sheet);
    const upBefore = line.upBytes;
    line.beginCutting();
    const sentAt = await dropTypeAndSend(page, files);
    const small = await waitForSmallThings(system.admin, sheet, files.length, sentAt, PATIENCE_MS);
    expect(Object.values(small)).not.toContain(null);
    // The question is with the readers, the files are not.
    expect(await arrived(sheet)).toBeLessThan(files.length);

    await expect.poll(() => arrived(sheet)).toBeGreaterThanOrEqual(2);
    await browser.kill();
    browser = await launchOn(path.join(folder, 'browser'));
    await signIn(browser.context, system.url, world);
    page = await openPage(browser.context, sheet);
    await expect.poll(() => arrived(sheet)).toBeGreaterThanOrEqual(4);
    await system.admin`update sessions set ended_at = now()`;
    line.cut();
    await signInOnPage(page);

    await waitForFiles(system.admin, sheet.referralId, files.length, 3 * PATIENCE_MS);
    expect(await storedHashes(system.admin, sheet.referralId)).toEqual(files.map((f) => f.sha256));
    expect(line.cuts).toBeGreaterThanOrEqual(8);
    const ratio = (line.upBytes - upBefore) / fileBytes;
    console.log(
      `bad line: ${line.cuts} cuts, ${ratio.toFixed(3)} bytes up for each byte of ${(fileBytes / 1e6).toFixed(1)} MB (first pictures, questions and headers counted); ms from 'send': ${JSON.stringify(small)}`,
    );
    // What lies unread at a cut is lost, on a busy machine more of it; files that began anew would need twice as much.
    // The aim of 1.05 is for files of 200 MB, where the program measures it.
    expect(ratio).toBeLessThan(1.5);
    // A first picture never outlives its clip.
    const left = await system.admin`select 1 from first_frames where picture is not null`;
    expect(left).toHaveLength(0);
  });
});
