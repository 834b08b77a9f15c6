import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sampleZip } from '../../packages/codecs/src/node/sample-zip';
import { findAxeProblems } from '../support/axe';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { madeDicom } from '../support/made-dicom';
import { madeReport } from '../support/made-report';
import { pageSession } from '../support/page-session';
import { type RunningSystem, startSystem } from '../support/running-system';
import { makeWorld, openDraft, PASSWORD, type World } from '../support/world';

/** A stick in one archive: a clip with unmoving letters inside its region, a machine's report, and junk. */
let system: RunningSystem;
let world: World;
let browser: Browser;
let page: Page;
let files: string;

beforeAll(async () => {
  [system, browser] = await Promise.all([startSystem(), launchBrowser()]);
  world = await makeWorld(system.admin);
  files = mkdtempSync(path.join(os.tmpdir(), 'chordae-what-leaves-'));
  const context = await browser.newContext({
    locale: 'en-GB',
    baseURL: system.url,
    viewport: { width: 1280, height: 900 },
    reducedMotion: 'reduce',
  });
  const email = world.people.vetA.email;
  await context.request.post('/api/sessions', { data: { email, password: PASSWORD } });
  page = await context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
});
afterAll(async () => {
  await browser?.close();
  await system?.stop();
  if (files) rmSync(files, { recursive: true, force: true });
});

/** Bars two pixels wide on black, as letters are: the same in every frame. The rest moves. */
function lettered(): Uint8Array {
  const [columns, rows, frames] = [160, 120, 8];
  const file = madeDicom({ frames, columns, rows, seed: 51, name: 'EXAMPLE^PEBBLE' });
  const start = file.length - columns * rows * frames;
  for (let f = 0; f < frames; f += 1)
    for (let y = 40; y < 60; y += 1)
      for (let x = 40; x < 120; x += 1)
        file[start + f * columns * rows + y * columns + x] = y >= 44 && y < 56 && x % 6 < 2 ? 230 : 0;
  return file;
}

describe('what leaves the practice', () => {
  it('is shown before it is sent, with places that may be a name, which one button covers', async () => {
    const draft = await openDraft(pageSession(page), world, world.practiceA, { name: 'Pebble' });
    const stick = sampleZip([
      { name: 'STICK/IM1', bytes: lettered() },
      { name: 'STICK/SR1', bytes: madeReport({ name: 'EXAMPLE^PEBBLE' }) },
      { name: 'STICK/viewer.exe', bytes: Buffer.from('MZ never run') },
    ]);
    writeFileSync(path.join(files, 'stick.zip'), stick);
    await page.goto(`/p/${draft.practiceId}/r/${draft.referralId}`);
    await page
      .locator('input[type=file]')
      .first()
      .setInputFiles([path.join(files, 'stick.zip')]);
    await page.getByRole('button', { name: /Show clip 1/ }).waitFor({ timeout: PATIENCE_MS });
    await page.getByText('2 files were taken out of it').waitFor();
    await page.getByText('Is a name among these?').waitFor();
    await page.getByRole('button', { name: 'Show them' }).click();
    await page.getByRole('img', { name: 'Clip 1 as the readers get it' }).waitFor();
    expect(await page.locator('.still-mark').count()).toBeGreaterThan(0);
    const faults = await findAxeProblems(page, 'what leaves');
    expect(faults).toEqual([]);
    await page.getByRole('button', { name: /^Cover/ }).click();
    await page.getByText('Is a name among these?').waitFor({ state: 'detached' });
    const covers = async (): Promise<number> => {
      const rows = await system.admin<
        { n: number }[]
      >`select jsonb_array_length(keep_box->'cover') as n from clips`;
      return rows[0]?.n ?? 0;
    };
    await expect.poll(covers).toBeGreaterThan(0);
  });

  it('and numbers of the machine come into the sheet only by a press', async () => {
    await page.getByText('the machine measured 2 values').waitFor();
    await page.getByRole('button', { name: /^Take over LVIDd 48.0 mm/ }).click();
    await page.getByText('the sheet has a value').waitFor();
    // The sheet shows it at once; the server has it a moment later.
    await expect
      .poll(() => system.admin`select value, source, as_typed from measurements`.then((rows) => [...rows]))
      .toMatchObject([{ value: 48, source: 'machine', as_typed: '4.8 cm' }]);
    await expect.poll(() => page.getByLabel('LVIDd', { exact: true }).inputValue()).toBe('4.8 cm');
  });
});
