import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findAxeProblems } from '../support/axe';
import { launchBrowser } from '../support/browser';
import { madeDicom } from '../support/made-dicom';
import { pageSession } from '../support/page-session';
import { type RunningSystem, startSystem } from '../support/running-system';
import { signedPage } from '../support/signed-page';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  openDraft,
  type Session,
  type World,
} from '../support/world';

/** Twenty clips named by keyboard, a view that could not be had said by one key, and what the distress switch hides. */
const CLIPS = 20;
let system: RunningSystem;
let world: World;
let browser: Browser;
let page: Page;
let vet: Session;
let d: OpenedReferral;
const files = mkdtempSync(path.join(os.tmpdir(), 'chordae-twenty-'));

beforeAll(async () => {
  [system, browser] = await Promise.all([startSystem(), launchBrowser()]);
  world = await makeWorld(system.admin);
  page = await signedPage(browser, system.url, world.people.vetA.email, {
    viewport: { width: 1280, height: 900 },
    reducedMotion: 'reduce',
  });
  vet = pageSession(page);
  d = await openDraft(vet, world, world.practiceA);
  const made = Array.from({ length: CLIPS }, (_f, n) => {
    const at = path.join(files, `clip-${n}.dcm`);
    writeFileSync(at, madeDicom({ seed: 700 + n }));
    return at;
  });
  await page.goto(`/p/${d.practiceId}/r/${d.referralId}`);
  await page.locator('input[type=file]').first().setInputFiles(made);
  await page.getByRole('button', { name: new RegExp(`Show clip ${CLIPS},`) }).waitFor();
});
afterAll(async () => {
  await browser?.close();
  await system?.stop();
  rmSync(files, { recursive: true, force: true });
});

describe('views by key', () => {
  it('names twenty clips by twenty keys, each clip that has no name coming by itself', async () => {
    await page.getByRole('button', { name: /Show clip 1,/ }).click();
    await page.getByRole('group', { name: 'Clip 1, keys act here' }).focus();
    const began = performance.now();
    for (let n = 1; n <= CLIPS; n += 1) {
      await page.keyboard.press(String(((n - 1) % 3) + 1));
      await expect
        .poll(async () => (await caseOf(vet, d)).clips.filter((c) => c.view !== null).length)
        .toBe(n);
      if (n < CLIPS) await page.getByRole('group', { name: `Clip ${n + 1}, keys act here` }).waitFor();
    }
    console.log(
      `twenty clips named by ${CLIPS} keys in ${((performance.now() - began) / 1000).toFixed(1)} s, each waited for on the server; aim: a person in a minute`,
    );
    const { clips } = await caseOf(vet, d);
    expect(new Set(clips.map((c) => c.view)).size).toBe(3);
  });

  it('says by one key that a view was not possible and why, and takes it back by the same key', async () => {
    const group = page.getByRole('group', { name: /^Not possible: / }).first();
    await group.getByRole('button', { name: /panting/ }).focus();
    const name = ((await group.getAttribute('aria-label')) ?? '').replace('Not possible: ', '');
    await page.keyboard.press('w');
    const said = async () => (await caseOf(vet, d)).scans[0]?.state.notPossible ?? {};
    await expect.poll(async () => Object.values(await said())).toEqual(['no window']);
    const item = page.locator('.views li').filter({ hasText: new RegExp(name, 'i') });
    await expect.poll(() => item.textContent()).toContain('not possible');
    await expect
      .poll(
        async () =>
          (await caseOf(vet, d)).interpretation?.completeness.views.find((v) => v.state === 'not-possible')
            ?.why,
      )
      .toBe('no window');
    expect(await findAxeProblems(page, 'a view that was not possible')).toEqual([]);
    await page.keyboard.press('w');
    await expect.poll(async () => Object.keys(await said())).toEqual([]);
    await expect.poll(() => item.textContent()).not.toContain('no window:');
  });

  it('in distress nothing more is asked for, by one press, and all of it comes back', async () => {
    await page.getByText('What would help most').waitFor();
    await page.getByRole('button', { name: 'In distress: ask for nothing more' }).click();
    await page.getByText(/In distress since/).waitFor();
    expect(await page.getByText('What would help most').count()).toBe(0);
    expect(await page.getByText('How to get it').count()).toBe(0);
    await page.getByRole('button', { name: 'It copes again: go on' }).click();
    await page.getByText('What would help most').waitFor();
  });
});
