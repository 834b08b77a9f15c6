import { spawnSync } from 'node:child_process';
import path from 'node:path';
import {
  makePhantomClip,
  type PhantomClip,
  type PhantomView,
  phantomDicom,
  seededRandom,
} from '@chordae/phantom';
import type { Page } from 'playwright-core';
import postgres from 'postgres';
import sharp from 'sharp';
import { launchBrowser } from '../support/browser';
import { KillableSystem } from '../support/killable-system';
import { pageSession } from '../support/page-session';
import { sentWithFiles } from '../support/sent-with-files';
import { caseOf, makeWorld, PASSWORD } from '../support/world';
import { figure, median, percentile } from './figures';

/**
 * The reading desk in headless Chromium, clips of 800 by 600: first pictures, stepping, and frames shown by frames due over 30 s
 * of four tiles. A first picture's clock starts with the key that opens a case or a clip, as the page gets it, and stops at the
 * browser's next picture after the frame was drawn in its tile. Each opening of a case is by a browser profile that has seen
 * neither the program nor a clip before, 2 s after it came to the queue.
 */
const root = path.resolve(import.meta.dirname, '../..');
spawnSync(process.execPath, [path.join(root, 'infra/build.mjs')], { stdio: 'inherit' });
const system = new KillableSystem();
await system.start();
const admin = postgres(system.databaseUrl, { max: 2, onnotice: () => {} });
const world = await makeWorld(admin);
const browser = await launchBrowser();

async function open(email: string): Promise<Page> {
  const context = await browser.newContext({ baseURL: system.url, viewport: { width: 1440, height: 900 } });
  for (;;) {
    const reply = await context.request
      .post('/api/sessions', { data: { email, password: PASSWORD } })
      .catch(() => null);
    if (reply?.ok()) return context.newPage();
    await new Promise((r) => setTimeout(r, 200));
  }
}

const drawnOnce = new Map<PhantomView, { drawn: PhantomClip; coded: Buffer[] }>();

async function file(view: PhantomView, frameCount: number, heartRate: number, seed: number): Promise<Buffer> {
  const random = seededRandom(seed);
  const words = { patientLine: 'BENCH', secondLine: '', viewLine: '' };
  const known = drawnOnce.get(view);
  const drawn =
    known?.drawn ??
    makePhantomClip(
      {
        view,
        species: 'dog',
        weightKg: 20,
        heart: 'normal',
        heartRate,
        frameCount: 60,
        frameTimeMs: 33,
        words,
      },
      random,
    );
  const coded =
    known?.coded ??
    (await Promise.all(
      drawn.frames.map((luma) =>
        sharp(luma, { raw: { width: 800, height: 600, channels: 1 } })
          .jpeg({ quality: 95 })
          .toBuffer(),
      ),
    ));
  drawnOnce.set(view, { drawn, coded });
  const frames = Array.from({ length: frameCount }, (_, n) => coded[n % coded.length] as Buffer);
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

/** Frames of the first clip: 200 is longer than its share of the cache, so that frames are decoded again while it plays. */
const LONG = Number(process.env['DESK_LONG_CLIP'] ?? 200);
const vet = pageSession(await open(world.people.vetA.email));
const views: PhantomView[] = ['rps-long-4ch', 'rps-short-papillary', 'rps-short-aortic', 'lap-4ch'];
const files: (readonly [string, string, Uint8Array])[] = [];
for (const [n, view] of [...views, ...views].entries())
  files.push([`${n}-${view}.dcm`, view, await file(view, n === 0 ? LONG : 60, 84 + 12 * (n % 4), 31 + n)]);
const d = await sentWithFiles(system.url, world, vet, files);
const deskAt = `/desk/${d.practiceId}/${d.referralId}`;

interface Seen {
  /** When a key came, and when each later first picture of a tile was shown: the times of both by performance.now(). */
  key: number;
  readonly first: number[];
  readonly painted: number[];
}
const seen = (page: Page) => page.evaluate(() => (globalThis as unknown as { seen: Seen }).seen);

/** A new profile, with whatever watches keys and pictures. */
async function watched(): Promise<Page> {
  const page = await open(world.people.cardiologist.email);
  // The runner names inner functions by a call of its own, which the page does not have.
  await page.addInitScript('globalThis.__name = (f) => f');
  await page.addInitScript(() => {
    const noted: Seen = { key: 0, first: [], painted: [] };
    Object.assign(globalThis, { seen: noted });
    addEventListener(
      'keydown',
      () => {
        noted.key = performance.now();
        noted.first.length = 0;
      },
      { capture: true },
    );
    new MutationObserver((changes) => {
      const now = performance.now();
      for (const change of changes) {
        if (change.attributeName !== 'data-frame') continue;
        noted.painted.push(now);
        if (change.oldValue === null) requestAnimationFrame(() => noted.first.push(performance.now()));
      }
    }).observe(document, {
      subtree: true,
      attributes: true,
      attributeOldValue: true,
      attributeFilter: ['data-frame'],
    });
  });
  return page;
}

/** From the key to the first picture and to that of the fourth tile, ms. */
async function pictures(page: Page, count: number): Promise<readonly number[]> {
  await page.waitForFunction((n) => (globalThis as unknown as { seen: Seen }).seen.first.length >= n, count);
  const { key, first } = await seen(page);
  return first.map((at) => at - key);
}

const ROUNDS = Number(process.env['DESK_ROUNDS'] ?? 5);
async function opened(key: 'Enter' | 't'): Promise<number[][]> {
  const all: number[][] = [];
  for (let n = 0; n < ROUNDS; n += 1) {
    const page = await watched();
    await page.goto('/queue');
    const link = page.locator(`a[href="${deskAt}"]`);
    await link.waitFor();
    await page.waitForTimeout(2000);
    await link.focus();
    await page.keyboard.press(key);
    all.push([...(await pictures(page, 4))]);
    await page.getByRole('button', { name: key === 't' ? 'Put back' : 'Take', exact: true }).waitFor();
    if (key === 't') {
      const reader = pageSession(page);
      const { referral } = await caseOf(reader, d);
      const reply = await reader.post(`/api/cases/${d.practiceId}/${d.referralId}/put-back`, {
        base: referral.revision,
        reason: 'Bench.',
      });
      if (reply.status !== 200) throw new Error(reply.raw);
    }
    await page.context().close();
  }
  return all;
}
const byEnter = await opened('Enter');
const byTake = await opened('t');

const page = await watched();
await page.goto(deskAt);
// By its address the clock starts with the navigation itself.
const byAddress = await pictures(page, 4);
await page.waitForTimeout(6000);
/** The clips that stand in no tile, each opened from the row by Enter while four play. */
const ofClip: number[] = [];
for (const button of await page.locator('.desk-strip button[aria-pressed="false"]').all()) {
  await button.focus();
  await page.keyboard.press('Enter');
  ofClip.push(...(await pictures(page, 1)));
  await page.waitForTimeout(1500);
}
await page.reload();
await pictures(page, 4);
await page
  .getByText(/^loading/)
  .first()
  .waitFor({ state: 'detached' });

const given = await page.evaluate(async () => {
  let count = 0;
  const tick = () => {
    count += 1;
    requestAnimationFrame(tick);
  };
  requestAnimationFrame(tick);
  await new Promise((r) => setTimeout(r, 31_000));
  return count / 31;
});
const [shown = 0, due = 1, missing = 0] = ((await page.locator('.stage').getAttribute('data-shown')) ?? '')
  .split('/')
  .map(Number);

/** From the key or the press to the next picture after the frame was painted, ms. */
async function timed(act: () => Promise<void>): Promise<number> {
  await page.evaluate(() => {
    const { seen: noted } = globalThis as unknown as { seen: Seen };
    const box = { from: 0, took: null as number | null };
    Object.assign(globalThis, { box });
    const before = noted.painted.length;
    const begin = () => {
      box.from = performance.now();
      const look = () => {
        if (noted.painted.length > before) box.took = performance.now() - box.from;
        else requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
    };
    addEventListener('keydown', begin, { capture: true, once: true });
    addEventListener('pointerdown', begin, { capture: true, once: true });
  });
  await act();
  await page.waitForFunction(
    () => (globalThis as unknown as { box: { took: number | null } }).box.took !== null,
  );
  return page.evaluate(() => (globalThis as unknown as { box: { took: number } }).box.took);
}
await page.keyboard.press('2');
await page.keyboard.press(' ');
await page.waitForTimeout(500);
const decoded: number[] = [];
for (let n = 0; n < 60; n += 1) decoded.push(await timed(() => page.keyboard.press('ArrowRight')));
const line = await page.locator('.scrub').first().boundingBox();
if (!line) throw new Error('no line to press on');
const fresh: number[] = [];
for (let n = 0; n < 30; n += 1) {
  const share = 0.35 + ((n * 7) % 30) / 50;
  await page.waitForTimeout(60);
  fresh.push(await timed(() => page.mouse.click(line.x + share * line.width, line.y + line.height / 2)));
}
await browser.close();
await admin.end({ timeout: 5 });
await system.stop();

const [firsts, fourths] = [0, 3].map((n) => (all: number[][]) => all.map((one) => one[n] ?? Number.NaN)) as [
  (all: number[][]) => number[],
  (all: number[][]) => number[],
];
for (const [how, all] of [
  ['a case opened from the queue by Enter', byEnter],
  ['a case taken from the queue by T', byTake],
] as const) {
  figure(`${how}: to the first picture, median of ${ROUNDS}, aim 300 ms`, median(firsts(all)), 'ms');
  figure(`${how}: to the first picture, slowest`, Math.max(...firsts(all)), 'ms');
  figure(`${how}: to the picture of the fourth tile, median`, median(fourths(all)), 'ms');
}
figure(
  'a clip opened from the row by Enter: to its first picture, median of four, aim 300 ms',
  median(ofClip),
  'ms',
);
figure('a clip opened from the row by Enter: slowest', Math.max(...ofClip), 'ms');
figure(
  'a case opened by its address, program and all: to the first picture',
  byAddress[0] ?? Number.NaN,
  'ms',
);
figure('frames shown by frames due, 30 s of four tiles of 800 by 600, aim 0.98', shown / due, 'ratio');
figure('frames due in that time', due, 'frames');
figure('of them not decoded in time', missing, 'frames');
figure('pictures a second that the browser gave the page meanwhile', given, '/s');
figure('step to a decoded frame, median', median(decoded), 'ms');
figure('step to a decoded frame, p95, aim 33 ms', percentile(decoded, 0.95), 'ms');
figure('jump to a frame not decoded, median', median(fresh), 'ms');
figure('jump to a frame not decoded, p95, aim 60 ms', percentile(fresh, 0.95), 'ms');
