import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { makePhantomClip, phantomDicom, seededRandom } from '@chordae/phantom';
import type { Browser, Page } from 'playwright-core';
import postgres from 'postgres';
import sharp from 'sharp';
import { BareBrowser } from '../support/bare-browser';
import { launchBrowser } from '../support/browser';
import { KillableSystem } from '../support/killable-system';
import { madeDicom } from '../support/made-dicom';
import { pageSession } from '../support/page-session';
import { sentWithFiles } from '../support/sent-with-files';
import { makeWorld, openDraft, PASSWORD } from '../support/world';
import { figure } from './figures';

/** Memory of a page: the desk with 60 clips, each opened once, and the sheet with a stick of 300 files of 5 patients. */
const root = path.resolve(import.meta.dirname, '../..');
spawnSync(process.execPath, [path.join(root, 'infra/build.mjs')], { stdio: 'inherit' });
const CLIPS = Number(process.env['BENCH_CLIPS'] ?? 60);
const system = new KillableSystem();
await system.start();
const admin = postgres(system.databaseUrl, { max: 2, onnotice: () => {} });
const world = await makeWorld(admin);

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** A browser of its own for each figure: what an earlier page left must not count. */
async function open(email: string): Promise<{ browser: Browser; page: Page }> {
  const browser = await launchBrowser();
  const context = await browser.newContext({ baseURL: system.url, viewport: { width: 1440, height: 900 } });
  for (;;) {
    const reply = await context.request
      .post('/api/sessions', { data: { email, password: PASSWORD } })
      .catch(() => null);
    if (reply?.ok()) return { browser, page: await context.newPage() };
    await pause(200);
  }
}

/** Proportional memory of the largest renderer among these processes, MB, as the kernel counts it. */
function largestRendererMb(processes: readonly { readonly type: string; readonly id: number }[]): number {
  const sizes = processes
    .filter((p) => p.type === 'renderer')
    .map(({ id }) => {
      const rollup = readFileSync(`/proc/${id}/smaps_rollup`, 'utf8');
      return Number(/^Pss:\s+(\d+) kB/m.exec(rollup)?.[1] ?? 0) / 1024;
    });
  return Math.max(...sizes);
}

async function rendererMb(browser: Browser): Promise<number> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = (await session.send('SystemInfo.getProcessInfo')) as {
    processInfo: { type: string; id: number }[];
  };
  await session.detach();
  return largestRendererMb(processInfo);
}

async function clip(seed: number): Promise<Buffer> {
  const random = seededRandom(seed);
  const drawn = makePhantomClip(
    {
      view: 'rps-short-papillary',
      species: 'dog',
      weightKg: 20,
      heart: 'normal',
      heartRate: 100,
      frameCount: 12,
      frameTimeMs: 33,
      words: { patientLine: 'BENCH', secondLine: '', viewLine: '' },
    },
    random,
  );
  const coded = await Promise.all(
    drawn.frames.map((luma) =>
      sharp(luma, { raw: { width: 800, height: 600, channels: 1 } })
        .jpeg({ quality: 95 })
        .toBuffer(),
    ),
  );
  const frames = Array.from({ length: 60 }, (_, n) => coded[n % coded.length] as Buffer);
  const patient = {
    name: 'BENCH',
    number: '1',
    breed: '',
    sex: 'O' as const,
    neutered: null,
    birthDate: '',
    scanDate: '20261125',
    scanTime: '100000',
    keeper: '',
  };
  const long = { ...drawn, frames: frames.map(() => drawn.frames[0] as Uint8Array) };
  return Buffer.from(phantomDicom(long, patient, { coding: 'jpeg', frames }, random));
}

async function desk(): Promise<void> {
  const vet = await open(world.people.vetA.email);
  const files: (readonly [string, string, Uint8Array])[] = [];
  for (let n = 0; n < CLIPS; n += 1)
    files.push([`${n}.dcm`, n % 2 ? 'rps-short-papillary' : 'rps-long-4ch', await clip(n)]);
  const d = await sentWithFiles(system.url, world, pageSession(vet.page), files);
  await vet.browser.close();
  // Here the page alone is measured: a driver that records requests makes the page's process keep up to 200 MB of them.
  const browser = await BareBrowser.launch();
  const page = await browser.open(`${system.url}/sign-in`, 1440, 900);
  await page.until('location.pathname === "/sign-in" && document.readyState === "complete"');
  const who = JSON.stringify({ email: world.people.cardiologist.email, password: PASSWORD });
  const signedIn = await page.run(
    `fetch('/api/sessions', { method: 'POST', headers: { 'content-type': 'application/json' }, body: ${JSON.stringify(who)} }).then((r) => r.ok)`,
  );
  if (signedIn !== true) throw new Error('not signed in');
  await page.goto(`${system.url}/desk/${d.practiceId}/${d.referralId}`);
  await page.until('document.querySelectorAll(".tile-stage[data-frame]").length === 4');
  const mb = async () => largestRendererMb(await browser.processes());
  await pause(8000);
  figure(`desk with ${CLIPS} clips of 800 by 600, 60 frames, four tiles playing`, await mb(), 'MB');
  let most = 0;
  let shown = 0;
  for (let n = 1; n <= CLIPS; n += 1) {
    const button = `document.querySelector('.desk-strip button[aria-label^="Clip ${n} in tile"]')`;
    await page.run(`${button}.click()`);
    await page.until('document.querySelector(".tile-chosen .tile-stage[data-frame]") !== null');
    await pause(700);
    if (await page.run(`${button}.getAttribute('aria-pressed') === 'true'`)) shown += 1;
    most = Math.max(most, await mb());
  }
  if (shown !== CLIPS) throw new Error(`only ${shown} of ${CLIPS} clips were shown`);
  figure(`the same, each of the ${CLIPS} clips shown once, the most seen, aim 800 MB`, most, 'MB');
  await browser.close();
}

async function stick(): Promise<void> {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-300-'));
  const names = ['PEBBLE', 'MOSS', 'FERN', 'HEATHER', 'SORREL'];
  const files = Array.from({ length: 300 }, (_, n) => {
    const at = path.join(folder, `IM_${String(n).padStart(4, '0')}.dcm`);
    const name = `EXAMPLE^${names[n % names.length]}`;
    writeFileSync(at, madeDicom({ name, seed: n, frames: 40, columns: 320, rows: 240 }));
    return at;
  });
  const { browser, page } = await open(world.people.vetA.email);
  const d = await openDraft(pageSession(page), world, world.practiceA);
  await page.goto(`/p/${d.practiceId}/r/${d.referralId}`);
  await page.locator('input[type=file]').first().waitFor({ state: 'attached' });
  await page.waitForTimeout(1000);
  const before = await rendererMb(browser);
  const began = Date.now();
  await page.locator('input[type=file]').first().setInputFiles(files);
  const picked = Date.now();
  await page.getByRole('dialog', { name: /5 patients found/ }).waitFor({ timeout: 120_000 });
  figure(
    'a stick of 300 files of 5 patients (3 MB each), from picked to listed, aim 5 s',
    (Date.now() - picked) / 1000,
    's',
  );
  figure('the same with the handing over of the files to the page', (Date.now() - began) / 1000, 's');
  figure('page memory with that list, aim 400 MB', await rendererMb(browser), 'MB', {
    name: 'the same page before',
    value: before,
  });
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
}

if (process.env['BENCH_PART'] !== 'desk') await stick();
if (process.env['BENCH_PART'] !== 'stick') await desk();
await admin.end({ timeout: 5 });
await system.stop();
