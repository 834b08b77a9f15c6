import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { madeDicom } from '../support/made-dicom';
import { type RunningSystem, startSystem } from '../support/running-system';
import { uuidv7 } from '../support/test-app';
import { makeWorld, PASSWORD, type World } from '../support/world';

/** A slow line, a reload and an ended session in the middle of a file: it arrives whole, and is picked only once. */
let system: RunningSystem;
let world: World;
let browser: Browser;
let page: Page;
let stick: string;
let referral: { practiceId: string; referralId: string };

beforeAll(async () => {
  [system, browser] = await Promise.all([startSystem(), launchBrowser()]);
  world = await makeWorld(system.admin);
  stick = mkdtempSync(path.join(os.tmpdir(), 'chordae-slow-'));
  const context = await browser.newContext({
    locale: 'en-GB',
    viewport: { width: 1024, height: 900 },
    reducedMotion: 'reduce',
  });
  page = await context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  const signedIn = await context.request.post(`${system.url}/api/sessions`, {
    data: { email: world.people.vetA.email, password: PASSWORD },
  });
  expect(signedIn.status()).toBe(200);
  const [patientId, referralId, scanId] = [uuidv7(), uuidv7(), uuidv7()] as [string, string, string];
  const at = `${system.url}/api/practices/${world.practiceA}`;
  await context.request.put(`${at}/patients/${patientId}`, {
    data: {
      name: 'Pebble',
      species: 'dog',
      breedCode: null,
      breedText: '',
      sex: 'female',
      neutered: null,
      birthDate: null,
      birthPrecision: null,
      chip: null,
    },
  });
  await context.request.put(`${at}/referrals/${referralId}`, {
    data: { patientId, groupId: world.group, plan: 'collapse', scanId, scannedOn: '2026-11-25' },
  });
  referral = { practiceId: world.practiceA, referralId };
  await page.goto(`${system.url}/p/${referral.practiceId}/r/${referral.referralId}`);
  // The page is whole before its line is narrowed: what is under way at that moment may hang for good in some browsers.
  await page.locator('input[type=file]').first().waitFor({ state: 'attached' });
  await page.waitForLoadState('networkidle', { timeout: 5000 }).catch(() => {});
  const line = await context.newCDPSession(page);
  await line.send('Network.enable');
  await line.send('Network.emulateNetworkConditions', {
    offline: false,
    latency: 20,
    downloadThroughput: 10_000_000,
    uploadThroughput: 1_200_000,
  });
});
afterAll(async () => {
  await browser?.close();
  await system?.stop();
  rmSync(stick, { recursive: true, force: true });
});

function file(name: string, seed: number): { at: string; sha256: string; bytes: number } {
  const bytes = madeDicom({ frames: 160, columns: 250, rows: 200, seed });
  writeFileSync(path.join(stick, name), bytes);
  return {
    at: path.join(stick, name),
    sha256: createHash('sha256').update(bytes).digest('hex'),
    bytes: bytes.length,
  };
}

const stateOf = async (name: string) =>
  (await system.admin<{ state: string }[]>`select state from arrivals where file_name = ${name}`)[0]?.state ??
  'unknown';
const storedHashes = async () =>
  (await system.admin<{ sha256: string }[]>`select sha256 from originals`).map((r) => r.sha256);
/** The progress line of the upload list shows that the file is on its way. */
const onItsWay = async (name: string) => {
  await expect.poll(() => stateOf(name), { timeout: PATIENCE_MS }).toBe('arriving');
  await page.waitForTimeout(1500);
  expect(await stateOf(name)).toBe('arriving');
};

describe('uploads on a bad line', () => {
  it('goes on by itself after the page is reloaded in the middle', async () => {
    const slow = file('slow.dcm', 31);
    await page.locator('input[type=file]').first().setInputFiles([slow.at]);
    await onItsWay('slow.dcm');
    await page.reload();
    await expect.poll(() => stateOf('slow.dcm'), { timeout: PATIENCE_MS }).toBe('read');
    expect(await storedHashes()).toContain(slow.sha256);
    await page.getByRole('button', { name: /Show clip 1/ }).waitFor();
  });

  it('goes on after signing in again when the session ends in the middle', async () => {
    const late = file('late.dcm', 32);
    await page.locator('input[type=file]').first().setInputFiles([late.at]);
    await onItsWay('late.dcm');
    await system.admin`update sessions set ended_at = now()`;
    // The running request ends with its own end; the next one is refused, and the page asks to sign in.
    await page.reload().catch(() => {});
    await page.waitForTimeout(1000);
    if (page.url().includes('sign-in')) {
      await page.getByLabel('E-mail address').fill(world.people.vetA.email);
    }
    await page.getByLabel('Password').waitFor();
    const address = page.getByLabel('E-mail address');
    if (await address.isVisible()) await address.fill(world.people.vetA.email);
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).last().click();
    // Going on before the answer has come would cut the sign-in itself.
    await page.getByLabel('Password').waitFor({ state: 'detached' });
    if (!page.url().includes(referral.referralId))
      await page.goto(`${system.url}/p/${referral.practiceId}/r/${referral.referralId}`);
    await expect.poll(() => stateOf('late.dcm'), { timeout: PATIENCE_MS }).toBe('read');
    expect(await storedHashes()).toContain(late.sha256);
  });

  it('recognises a file that this practice has sent before, and stores it once', async () => {
    await page
      .locator('input[type=file]')
      .first()
      .setInputFiles([path.join(stick, 'slow.dcm')]);
    await page
      .getByText(/already|before/i)
      .filter({ visible: true })
      .first()
      .waitFor();
    expect(new Set(await storedHashes()).size).toBe(2);
  });
});
