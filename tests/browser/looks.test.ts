import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { assessClip, detectSectorGeometry, suggestView } from '@chordae/imaging';
import { viewsOf } from '@chordae/interpretation';
import { type PhantomClip, phantomDicom, randomCine, renderCine, seededRandom } from '@chordae/phantom';
import { capital, scanningCautions, viewNames } from '@chordae/words';
import { build } from 'esbuild';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { pageSession } from '../support/page-session';
import { readPdf } from '../support/pdf-text';
import { type RunningSystem, startSystem } from '../support/running-system';
import { caseOf, makeWorld, openDraft, PASSWORD, type World } from '../support/world';

let system: RunningSystem;
let world: World;
let browser: Browser;
let files: string;

beforeAll(async () => {
  [system, browser] = await Promise.all([startSystem(), launchBrowser()]);
  world = await makeWorld(system.admin);
  files = mkdtempSync(path.join(os.tmpdir(), 'chordae-looks-'));
});
afterAll(async () => {
  await browser?.close();
  await system?.stop();
  if (files) rmSync(files, { recursive: true, force: true });
});

const size = { widthPx: 400, heightPx: 300 };
const clipOf = (seed: number, tiltDeg: number): PhantomClip =>
  renderCine({ ...randomCine(seed, 'developing', size), heart: 'normal', tiltDeg, frameCount: 40 }, seed);

describe('pictures looked at in the browser', () => {
  it('are assessed as in Node, to the last bit', async () => {
    const made = await build({
      stdin: {
        contents: "export { assessClip, detectSectorGeometry, suggestView } from '@chordae/imaging'",
        resolveDir: path.resolve(import.meta.dirname, '../../apps/portal'),
      },
      bundle: true,
      format: 'iife',
      globalName: 'imaging',
      write: false,
      target: 'es2022',
    });
    const page = await browser.newPage();
    await page.addScriptTag({ content: made.outputFiles[0]?.text ?? '' });
    for (const [seed, tilt] of [
      [3, 0],
      [4, 34],
    ] as const) {
      const clip = clipOf(seed, tilt);
      const frames = clip.frames.map((luma) => ({ ...size, luma }));
      const options = { frameTimesMs: clip.truth.frameTimesMs, view: 'rps-short-papillary' as const };
      const here = {
        assessment: assessClip(frames, options),
        suggestion: suggestView(frames, detectSectorGeometry(frames)),
      };
      const there = await page.evaluate(
        ([pictures, shape, asked]) => {
          const { imaging } = globalThis as unknown as {
            imaging: {
              assessClip(frames: unknown[], options: unknown): unknown;
              detectSectorGeometry(frames: unknown[]): unknown;
              suggestView(frames: unknown[], sector: unknown): unknown;
            };
          };
          const given = pictures.map((text) => ({
            ...shape,
            luma: Uint8Array.from(atob(text), (c) => c.charCodeAt(0)),
          }));
          return JSON.stringify({
            assessment: imaging.assessClip(given, asked),
            suggestion: imaging.suggestView(given, imaging.detectSectorGeometry(given)),
          });
        },
        [frames.map((f) => Buffer.from(f.luma).toString('base64')), size, options] as const,
      );
      expect(here.assessment.shortAxis?.outlines.length).toBe(40);
      expect(there).toBe(JSON.stringify(here));
    }
    await page.close();
  });

  it('say what they are before a byte is sent; the view named on the way stands when the clip has come', async () => {
    const context = await browser.newContext({
      locale: 'en-GB',
      baseURL: system.url,
      reducedMotion: 'reduce',
    });
    await context.request.post('/api/sessions', {
      data: { email: world.people.vetA.email, password: PASSWORD },
    });
    const page = await context.newPage();
    page.setDefaultTimeout(PATIENCE_MS);
    const session = pageSession(page);
    const draft = await openDraft(session, world, world.practiceA, { name: 'Pebble' });
    const random = seededRandom(11);
    const file = path.join(files, 'tilted.dcm');
    const patient = {
      name: 'EXAMPLE^PEBBLE',
      number: 'X-1',
      breed: '',
      sex: 'F' as const,
      neutered: true,
      birthDate: '',
      scanDate: '20261125',
      scanTime: '100000',
      keeper: '',
    };
    writeFileSync(file, phantomDicom(clipOf(4, 34), patient, { coding: 'native' }, random));
    let sent = 0;
    let open = false;
    await page.route('**/api/uploads**', async (route) => {
      if (!open) return route.abort('internetdisconnected');
      sent += 1;
      return route.continue();
    });
    await page.goto(`/p/${draft.practiceId}/r/${draft.referralId}`);
    await page.locator('input[type=file]').first().setInputFiles(file);

    await page.getByText(/40 frames, calibrated/).waitFor();
    await page.getByLabel('View of tilted.dcm').selectOption('rps-short-papillary');
    await page
      .getByText(/not round|tilt/i)
      .first()
      .waitFor();
    expect(sent).toBe(0);
    open = true;
    // What was cut goes on by itself.
    await page.getByText('Clip 1', { exact: false }).first().waitFor();
    await expect
      .poll(async () => (await caseOf(session, draft)).clips[0]?.view, { timeout: PATIENCE_MS })
      .toBe('rps-short-papillary');
    await expect
      .poll(async () => (await caseOf(session, draft)).clips[0]?.assessment?.shortAxis?.verdict, {
        timeout: PATIENCE_MS,
      })
      .toBeTruthy();
    // The same pixels by another decoder and another process: nothing differs.
    expect(await page.getByText(/see this clip differently/).count()).toBe(0);
    await context.close();
  });
});

/** Letters drawn as one sign are read back with spaces round them. */
const letters = (text: string) => text.replace(/\s/g, '');

describe('the card of a question, to hang beside the table', () => {
  it('is one page on A4 and on US letter, with every view, its drawings, and how to be careful', async () => {
    const page = await browser.newPage({ baseURL: system.url, viewport: { width: 1280, height: 900 } });
    // Those with the most views, and the horse's own.
    for (const [plan, kind] of [
      ['breeding-screen', 'cat'],
      ['young-murmur', 'dog'],
      ['horse', 'horse'],
    ] as const) {
      const views = viewsOf(plan);
      await page.goto(`/views/card/${plan}?kind=${kind}`);
      await expect.poll(() => page.locator('.card-views svg').count()).toBe(2 * views.length);
      for (const format of ['A4', 'Letter']) {
        const printed = await readPdf(await page.pdf({ format, preferCSSPageSize: true }));
        expect(printed.pages, `${plan} on ${format}`).toHaveLength(1);
        for (const words of [...views.map((v) => capital(viewNames[v.view])), scanningCautions.at(-1) ?? '?'])
          expect(letters(printed.text)).toContain(letters(words));
      }
    }
    await page.close();
  });
});
