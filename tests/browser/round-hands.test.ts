import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { demoClip } from '../../apps/api/src/demo/demo-clips';
import { findAxeProblems } from '../support/axe';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { type RunningSystem, startSystem } from '../support/running-system';
import { signedPage } from '../support/signed-page';
import { makeWorld, PASSWORD, type World } from '../support/world';

/** A round with other hands: one day by keyboard alone, one on a phone by thumb. */
let system: RunningSystem;
let world: World;
let browser: Browser;
let folder: string;
const faults: string[] = [];
const today = new Date().toISOString().slice(0, 10);

beforeAll(async () => {
  system = await startSystem();
  world = await makeWorld(system.admin);
  browser = await launchBrowser();
  folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-hands-'));
});
afterEach(async ({ task }) => {
  // With CHORDAE_SHOTS set to a folder, what was seen last is kept.
  const shots = process.env['CHORDAE_SHOTS'];
  const pages = shots ? browser.contexts().flatMap((c) => c.pages()) : [];
  for (const [n, page] of pages.entries())
    await page.screenshot({ path: path.join(shots ?? '', `hands-${n}-${task.name.slice(0, 12)}.png`) });
});
afterAll(async () => {
  await browser?.close();
  await system?.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function clipOf(name: string, seed: number): Promise<string> {
  const file = path.join(folder, `${name}.dcm`);
  const clip = await demoClip({
    view: 'rps-short-papillary',
    seed,
    species: 'cat',
    heart: 'normal',
    weightKg: 4,
    patientName: name,
    practiceName: 'Test Practice',
    day: today,
    // A little more than a beat: drawing is what takes long.
    frameCount: 20,
  });
  writeFileSync(file, clip);
  return file;
}

const signedNames = async (): Promise<string[]> =>
  (
    await system.admin<{ name: string }[]>`
      select p.name from signed_reports s join referrals r on r.practice_id = s.practice_id and r.id = s.referral_id
        join patients p on p.practice_id = r.practice_id and p.id = r.patient_id order by s.signed_at`
  ).map((r) => r.name);

describe('a day by keyboard alone', () => {
  let page: Page;
  let presses = 0;
  /** One key or chord; texts are not counted. */
  async function press(...keys: string[]): Promise<void> {
    for (const key of keys) {
      presses += 1;
      await page.keyboard.press(key);
    }
  }
  const write = (text: string) => page.keyboard.type(text);

  async function visit(name: string): Promise<void> {
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await press('s');
    const dialog = page.getByRole('dialog', { name: new RegExp(`^${name} at`) });
    await dialog.getByText(/Not known at/).waitFor();
    // What is missing is gone to, one after the other.
    await press('Control+Enter');
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.getAttribute('value')), {
        timeout: PATIENCE_MS,
      })
      .toBe('measured');
    await press('Space', 'Control+Enter');
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.tagName), { timeout: PATIENCE_MS })
      .toBe('SELECT');
    await write('Cat before');
    await press('Control+Enter');
    await page.getByRole('heading', { name, level: 1 }).waitFor();
    const chooser = page.waitForEvent('filechooser');
    await press('Alt+c', 'Enter');
    await (await chooser).setFiles([await clipOf(name, 71)]);
    await page.getByRole('button', { name: /Show clip 1/ }).waitFor();
    await press('Alt+m');
    await write('4.8');
    await press('Control+Enter');
    await page.getByRole('heading', { name: `Scan report ${name}` }).waitFor();
    await press('Alt+t');
    await write(`${name}: no wall above the limit that is named.`);
    await press('Control+Enter');
    await page.getByRole('dialog', { name: 'Sign the scan report' }).getByLabel('Your password').waitFor();
    await write(PASSWORD);
    await press('Enter');
    await expect.poll(signedNames, { timeout: PATIENCE_MS }).toContain(name);
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await press('Alt+r');
  }

  it('goes from the pasted list to the closed day', async () => {
    page = await signedPage(browser, system.url, world.people.sonographer.email, { faults });
    await page.goto('/rounds');
    await page.getByLabel('Day').waitFor();
    // Day, name, button: three stops from the heading on; the shell's links lie before them.
    await page.getByLabel('Day').focus();
    await page.getByLabel('Day').fill(today);
    await press('Enter');
    await page.getByText('Nobody is on it yet.').waitFor();
    await press('p');
    await page.getByLabel(/^One patient a line/).waitFor();
    await write(
      [
        'Test Practice Ash',
        'Nimbus; cat; FN; 6 y; 4.1 kg; thick walls?',
        'Sorrel; cat; MN; 9 y; 5 kg',
        '',
        'Test Practice Birch',
        'Pip; cat; F; 3 y; 3.4 kg',
      ].join('\n'),
    );
    await press('Control+Enter');
    await page.getByText('3 patients read.').waitFor();
    await press('Control+Enter');
    await page.getByText('0 of 3 done.').waitFor();
    for (const [n, name] of ['Nimbus', 'Sorrel', 'Pip'].entries()) {
      await visit(name);
      await page.getByText(`${n + 1} of 3 done.`).waitFor();
    }
    await press('c');
    await page
      .getByRole('dialog', { name: 'Close the day' })
      .getByText('Everything of this day is done.')
      .waitFor();
    await press('Control+Enter');
    await page.getByText(/Closed\./).waitFor();
    console.log(`a day of three patients by keyboard alone: ${presses} presses besides texts`);
    expect(await signedNames()).toEqual(['Nimbus', 'Sorrel', 'Pip']);
    const kept = await system.admin<{ value: string }[]>`select value::text from measurements`;
    expect(kept.map((m) => Number(m.value))).toEqual([4.8, 4.8, 4.8]);
    expect(await findAxeProblems(page, 'the closed day')).toEqual([]);
    await page.context().close();
  }, 300_000);
});

describe('a visit on a phone', () => {
  it('is scanned, reported and signed by thumb, nothing wider than the screen', async () => {
    const page = await signedPage(browser, system.url, world.people.sonographer.email, {
      faults,
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    });
    const fits = async (where: string) => {
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(over, `${where} is wider than the screen by`).toBeLessThanOrEqual(0);
      expect(await findAxeProblems(page, `${where} on a phone`)).toEqual([]);
    };
    const day = new Date(Date.now() + 24 * 60 * 60_000).toISOString().slice(0, 10);
    await page.goto('/rounds');
    await page.getByLabel('Day').fill(day);
    await page.getByRole('button', { name: 'Open a round' }).tap();
    await page.getByText('Nobody is on it yet.').waitFor();
    await page.getByRole('button', { name: 'Paste a list' }).tap();
    await page
      .getByLabel(/^One patient a line/)
      .fill('Test Practice Ash\nFern; cat; FN; 6 y; 4.1 kg; thick walls?');
    await page.getByRole('button', { name: 'Look it over' }).tap();
    await fits('the list looked over');
    await page.getByRole('button', { name: 'Put it on the round' }).tap();
    await fits('the round');
    await page.getByRole('button', { name: 'Scan Fern' }).tap();
    const dialog = page.getByRole('dialog', { name: /^Fern at/ });
    await dialog.getByText(/Not known at/).waitFor();
    await dialog.getByRole('group', { name: 'Weight was' }).getByText('measured').tap();
    await dialog.getByLabel('What do you want to know').selectOption('cat-before-anaesthesia');
    await fits('who it is');
    await dialog.getByRole('button', { name: 'Open the scan' }).tap();
    await page.getByRole('heading', { name: 'Fern', level: 1 }).waitFor();
    await page
      .locator('input[type=file]')
      .first()
      .setInputFiles([await clipOf('Fern', 77)]);
    await page.getByRole('button', { name: /Show clip 1/ }).waitFor();
    await page.getByLabel('IVSd', { exact: true }).fill('4.6');
    await fits('the sheet');
    // Keys that a phone has not are not spoken of.
    expect(await page.locator('.button .key:visible, .page-keys:visible').count()).toBe(0);
    await page.getByRole('button', { name: 'Write the scan report' }).tap();
    await page.getByLabel('Conclusion').fill('Fern: no wall above the limit that is named.');
    await fits('the report');
    await page.getByRole('button', { name: 'Preview and sign …' }).tap();
    await page
      .getByRole('dialog', { name: 'Sign the scan report' })
      .getByLabel('Your password')
      .fill(PASSWORD);
    await fits('signing');
    await page.getByRole('button', { name: 'Sign now' }).tap();
    await expect.poll(signedNames, { timeout: PATIENCE_MS }).toContain('Fern');
    await page.getByRole('link', { name: /^Round of/ }).tap();
    await page.getByText('1 of 1 done.').waitFor();
    await fits('the day done');
    expect(faults).toEqual([]);
    await page.context().close();
  }, 240_000);
});
