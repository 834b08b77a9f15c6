import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { makePhantomClip, type PhantomView, phantomDicom, seededRandom } from '@chordae/phantom';
import type { Page } from 'playwright-core';
import postgres from 'postgres';
import sharp from 'sharp';
import { launchBrowser } from '../support/browser';
import { KillableSystem } from '../support/killable-system';
import { pageSession } from '../support/page-session';
import { uploadFile } from '../support/upload';
import { caseOf, makeWorld, openDraft, PASSWORD, typeMeasurement } from '../support/world';
import { figure, median, percentile } from './figures';

/** The reading desk in headless Chromium, four clips of 800 by 600: first frame, stepping, and frames shown by frames due over 30 s. */
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

async function file(view: PhantomView, frameCount: number, heartRate: number, seed: number): Promise<Buffer> {
  const random = seededRandom(seed);
  const words = { patientLine: 'BENCH', secondLine: '', viewLine: '' };
  const drawn = makePhantomClip(
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
  const coded = await Promise.all(
    drawn.frames.map((luma) =>
      sharp(luma, { raw: { width: 800, height: 600, channels: 1 } })
        .jpeg({ quality: 95 })
        .toBuffer(),
    ),
  );
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
const d = await openDraft(vet, world, world.practiceA);
const views: PhantomView[] = ['rps-long-4ch', 'rps-short-papillary', 'rps-short-aortic', 'lap-4ch'];
for (const [n, view] of views.entries()) {
  const bytes = await file(view, n === 0 ? LONG : 60, 84 + 12 * n, 31 + n);
  await uploadFile({ ...vet, cookie: await cookieOf() }, system.url, d, `${view}.dcm`, bytes);
}
async function cookieOf(): Promise<string> {
  const reply = await fetch(`${system.url}/api/sessions`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: world.people.vetA.email, password: PASSWORD }),
  });
  return reply.headers
    .getSetCookie()
    .map((c) => c.split(';')[0])
    .join('; ');
}
for (;;) {
  const { clips } = await caseOf(vet, d);
  if (clips.length === views.length) {
    for (const [n, clip] of clips.entries())
      await vet.patch(`/api/practices/${d.practiceId}/clips/${clip.id}`, { view: views[n] ?? 'other' });
    break;
  }
  await new Promise((r) => setTimeout(r, 500));
}
await typeMeasurement(vet, d, 'lvidd', 38.2);
await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } });
const sent = await vet.post(`${d.base}/send`, { base: 2, identityReason: 'Bench.' });
if (sent.status !== 200) throw new Error(sent.raw);

const page = await open(world.people.cardiologist.email);
// The runner names inner functions by a call of its own, which the page does not have.
await page.addInitScript('globalThis.__name = (f) => f');
await page.addInitScript(() => {
  // When a tile came to the page and when its first frame was painted; when each later frame was.
  const seen = { began: new Map<Element, number>(), first: [] as number[], painted: [] as number[] };
  Object.assign(globalThis, { seen });
  new MutationObserver((changes) => {
    const now = performance.now();
    for (const tile of document.querySelectorAll('.tile-stage'))
      if (!seen.began.has(tile)) seen.began.set(tile, now);
    for (const change of changes)
      if (change.attributeName === 'data-frame' && change.target instanceof Element) {
        const from = seen.began.get(change.target);
        if (change.oldValue === null && from !== undefined) seen.first.push(now - from);
        seen.painted.push(now);
      }
  }).observe(document, {
    subtree: true,
    childList: true,
    attributes: true,
    attributeOldValue: true,
    attributeFilter: ['data-frame'],
  });
});
interface Seen {
  readonly first: number[];
  readonly painted: number[];
}
await page.goto(`/desk/${d.practiceId}/${d.referralId}`);
await page.waitForFunction(() => (globalThis as unknown as { seen: Seen }).seen.first.length >= 4);
const first = await page.evaluate(() => (globalThis as unknown as { seen: Seen }).seen.first);
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
    const { seen } = globalThis as unknown as { seen: Seen };
    const box = { from: 0, took: null as number | null };
    Object.assign(globalThis, { box });
    const before = seen.painted.length;
    const begin = () => {
      box.from = performance.now();
      const look = () => {
        if (seen.painted.length > before) box.took = performance.now() - box.from;
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

figure('first frame of a tile, median of four, aim 300 ms', median(first), 'ms');
figure('first frame of the last of four tiles', Math.max(...first), 'ms');
figure('frames shown by frames due, 30 s of four tiles of 800 by 600, aim 0.98', shown / due, 'ratio');
figure('frames due in that time', due, 'frames');
figure('of them not decoded in time', missing, 'frames');
figure('pictures a second that the browser gave the page meanwhile', given, '/s');
figure('step to a decoded frame, median', median(decoded), 'ms');
figure('step to a decoded frame, p95, aim 33 ms', percentile(decoded, 0.95), 'ms');
figure('jump to a frame not decoded, median', median(fresh), 'ms');
figure('jump to a frame not decoded, p95, aim 60 ms', percentile(fresh, 0.95), 'ms');
