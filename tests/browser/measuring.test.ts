import {
  clipPicture,
  makeMMode,
  makeSpectral,
  type PhantomClip,
  phantomDicom,
  pictureDicom,
  renderCine,
  seededRandom,
} from '@chordae/phantom';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findAxeProblems } from '../support/axe';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { pageSession } from '../support/page-session';
import { type RunningSystem, startSystem } from '../support/running-system';
import { signedPage } from '../support/signed-page';
import { uploadFile } from '../support/upload';
import { caseOf, makeWorld, openDraft, PASSWORD, type Session, type World } from '../support/world';

/** A cardiologist measures on drawn pictures whose truth is known, mostly by keyboard. */
let system: RunningSystem;
let world: World;
let browser: Browser;
let page: Page;
const faults: string[] = [];

const SIZE = { widthPx: 480, heightPx: 360 };
const words = { patientLine: 'PEBBLE', secondLine: 'TEST', viewLine: '' };
const animal = { species: 'dog', weightKg: 7.4, heart: 'normal', heartRate: 110 } as const;
const patient = {
  name: 'Pebble',
  number: '1',
  breed: '',
  sex: 'O' as const,
  neutered: null,
  birthDate: '',
  scanDate: '20261125',
  scanTime: '101500',
  keeper: '',
};
const cine = (seed: number): PhantomClip =>
  renderCine(
    { ...animal, ...SIZE, view: 'rps-short-papillary', frameCount: 36, frameTimeMs: 33, words },
    seed,
  );
const short = cine(3);
const mMode = makeMMode({ ...animal, ...SIZE, sweepMs: 2000, words }, 4);
const jet = makeSpectral(
  { ...animal, ...SIZE, flow: 'leak', peakCmS: 310, towards: false, sweepMs: 2000, words },
  5,
);
const bare = { ...clipPicture(cine(6)), regions: [] };
const coding = { coding: 'native' } as const;
const FILES = [
  ['short.dcm', 'rps-short-papillary', phantomDicom(short, patient, coding, seededRandom(1))],
  ['m-mode.dcm', 'rps-short-chordae', pictureDicom(mMode, patient, coding, seededRandom(2))],
  ['jet.dcm', 'lap-4ch', pictureDicom(jet, patient, coding, seededRandom(3))],
  ['bare.dcm', 'rps-short-mitral', pictureDicom(bare, patient, coding, seededRandom(4))],
] as const;
const EARLIER = [
  'earlier.dcm',
  FILES[0][1],
  phantomDicom(cine(7), patient, coding, seededRandom(7)),
] as const;

const open = (email: string) =>
  signedPage(browser, system.url, email, { faults, viewport: { width: 1440, height: 1000 } });

/** A referral with files, each view named, sent to the group. */
async function sent(
  vet: Session,
  files: readonly (readonly [string, string, Uint8Array])[],
  options: { patientId?: string; scannedOn: string },
) {
  const d = await openDraft(vet, world, world.practiceA, options);
  for (const [name, , bytes] of files) await uploadFile(await cookieSession(vet), system.url, d, name, bytes);
  while ((await caseOf(vet, d)).clips.length < files.length) await new Promise((r) => setTimeout(r, 300));
  for (const clip of (await caseOf(vet, d)).clips) {
    const view = files.find(([name]) => name === clip.fileName)?.[1];
    await vet.patch(`/api/practices/${d.practiceId}/clips/${clip.id}`, { view });
    if (clip.mask === 'needs-decision')
      await vet.post(`/api/practices/${d.practiceId}/clips/${clip.id}/mask`, { kind: 'no-name-confirmed' });
  }
  await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } });
  const reply = await vet.post(`${d.base}/send`, { base: 2, identityReason: 'Drawn for a test.' });
  if (reply.status !== 200) throw new Error(reply.raw);
  return d;
}

async function cookieSession(vet: Session): Promise<Session> {
  const reply = await fetch(`${system.url}/api/sessions`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: world.people.vetA.email, password: PASSWORD }),
  });
  const cookie = reply.headers.getSetCookie().map((c) => c.split(';')[0]);
  return { ...vet, cookie: cookie.join('; ') };
}

beforeAll(async () => {
  [system, browser] = await Promise.all([startSystem(), launchBrowser()]);
  world = await makeWorld(system.admin);
  const vet = pageSession(await open(world.people.vetA.email));
  const before = await sent(vet, [EARLIER], { scannedOn: '2026-05-04' });
  const d = await sent(vet, FILES, { patientId: before.patientId, scannedOn: '2026-11-25' });
  page = await open(world.people.cardiologist.email);
  await page.goto(`/desk/${d.practiceId}/${d.referralId}`);
  await page.getByRole('img', { name: /^Tile 4/ }).waitFor();
  await page.keyboard.press('t');
  await page.getByRole('button', { name: 'Put back' }).waitFor();
  for (const place of [1, 2, 3, 4])
    await page.locator(`[data-testid=tile-${place}][data-frame]`).waitFor({ timeout: PATIENCE_MS });
});
afterAll(async () => {
  await browser?.close();
  await system?.stop();
});

/** Points of an outline that is stored as x and y in turn. */
const pairs = (flat: readonly number[]) =>
  Array.from({ length: flat.length / 2 }, (_, n) => ({ x: flat[2 * n] ?? 0, y: flat[2 * n + 1] ?? 0 }));

/** A place of a tile's frame on the screen: the whole picture is shown, centred. */
async function onScreen(place: number, x: number, y: number): Promise<[number, number]> {
  const box = await page.getByTestId(`tile-${place}`).boundingBox();
  if (!box) throw new Error('no tile');
  const scale = Math.min(box.width / SIZE.widthPx, box.height / SIZE.heightPx);
  const left = box.x + (box.width - SIZE.widthPx * scale) / 2;
  const top = box.y + (box.height - SIZE.heightPx * scale) / 2;
  return [left + x * scale, top + y * scale];
}
async function click(place: number, x: number, y: number): Promise<void> {
  await page.mouse.click(...(await onScreen(place, x, y)));
}
async function tileOf(view: RegExp): Promise<number> {
  const name = await page.getByRole('img', { name: view }).first().getAttribute('aria-label');
  return Number(/^Tile (\d)/.exec(name ?? '')?.[1]);
}
const frameOf = async (place: number) =>
  Number(await page.getByTestId(`tile-${place}`).getAttribute('data-frame'));
const kept = (code: string) =>
  system.admin<{ value: number; beat: number; method: string; geometry: { frame: number; shape: string } }[]>`
    select value, beat, method, geometry from measurements
     where code = ${code} and source = 'caliper' order by made_at`;

describe('measuring on the desk', () => {
  it('goes on to what the question wants: its view, its moment, its tool, and keeps two beats of it', async () => {
    await page.keyboard.press('g');
    await page.getByText(/Next: LVIDd.*inner edge to inner edge.*end-diastole/).waitFor();
    const place = await tileOf(/Tile \d: .*papillary/);
    await page.getByText('exact pixels').waitFor();
    const frame = await frameOf(place);
    const rows = pairs([...(short.truth.lvOutlines[frame] ?? [])]).sort((a, b) => a.y - b.y);
    const [top, bottom] = [rows[0], rows.at(-1)];
    if (!top || !bottom) throw new Error('no outline');
    const truthMm = (Math.hypot(bottom.x - top.x, bottom.y - top.y) / short.truth.pxPerCm) * 10;
    await page.mouse.move(...(await onScreen(place, top.x, top.y)));
    await page.mouse.down();
    await page.mouse.move(...(await onScreen(place, bottom.x, bottom.y)), { steps: 4 });
    await page.mouse.up();
    expect(await page.getByLabel('Measured length').textContent()).toMatch(/mm \(by pixels/);
    await page.keyboard.press('Enter');
    await page.getByText(/^Kept: LVIDd .*beat 1/).waitFor();
    await click(place, top.x, top.y);
    await click(place, bottom.x, bottom.y);
    await page.keyboard.press('ArrowDown');
    await page.getByRole('button', { name: 'Keep as beat 2' }).waitFor();
    await page.keyboard.press('Enter');
    await page.getByText(/^Kept: LVIDd .*beat 2/).waitFor();
    const both = await kept('lvidd');
    expect(both).toMatchObject([
      { beat: 1, method: '2d', geometry: { frame, shape: 'length' } },
      { beat: 2, geometry: { frame } },
    ]);
    for (const row of both) expect(Math.abs(row.value - truthMm)).toBeLessThan(0.8);
    await page.keyboard.press('g');
    await page.getByText(/Next: LVIDs.*smallest cavity/).waitFor();
    await page.keyboard.press('Escape');
    await page.keyboard.press('Escape');
  });

  it('takes six lengths along one M-mode line, as the picture was made', async () => {
    const place = await tileOf(/Tile \d: .*chordae/);
    await page.keyboard.press(String(place));
    await page.keyboard.press('w');
    const { endDiastole, endSystole, cmPerPx, secondsPerPx } = mMode.truth;
    const box = mMode.regions[0];
    const [d, s] = [endDiastole[0], endSystole[0]];
    if (!box || !d || !s) throw new Error('no truth');
    for (const edges of [d, s])
      for (const cm of [edges.septumTopCm, edges.septumBottomCm, edges.freeWallTopCm, edges.freeWallBottomCm])
        await click(place, box.x0 + edges.timeMs / 1000 / secondsPerPx, box.y0 + cm / cmPerPx);
    await page.getByRole('button', { name: 'Keep all 6' }).waitFor();
    await page.keyboard.press('Enter');
    await page.getByText(/^Kept: IVSd.*LVWs/).waitFor();
    const want = {
      ivsd: d.septumBottomCm - d.septumTopCm,
      lvwd: d.freeWallBottomCm - d.freeWallTopCm,
      lvids: s.freeWallTopCm - s.septumBottomCm,
      ivss: s.septumBottomCm - s.septumTopCm,
    };
    for (const [code, cm] of Object.entries(want)) {
      const [row] = await kept(code);
      expect(row?.method).toBe('m-mode');
      expect(Math.abs((row?.value ?? 0) - 10 * cm)).toBeLessThan(10 * cmPerPx * 1.5);
    }
    await page.keyboard.press('Escape');
  });

  it('reads a jet by the baseline, and draws by keyboard alone', async () => {
    const place = await tileOf(/Tile \d: .*left apical/i);
    await page.keyboard.press(String(place));
    await page.keyboard.press('p');
    await page.keyboard.press('x');
    // From the middle of the picture, down to the peak, by tens and ones.
    const { baselineY, cmPerSPerPx, peakTimesMs, secondsPerPx } = jet.truth;
    const box = jet.regions[0];
    const target = {
      x: (box?.x0 ?? 0) + (peakTimesMs[0] ?? 0) / 1000 / secondsPerPx,
      y: baselineY + 310 / cmPerSPerPx,
    };
    const walk = async (by: number, less: string, more: string) => {
      const steps = Math.round(Math.abs(by));
      const key = by < 0 ? less : more;
      for (let n = 0; n < Math.floor(steps / 10); n += 1) await page.keyboard.press(`Shift+${key}`);
      for (let n = 0; n < steps % 10; n += 1) await page.keyboard.press(key);
    };
    await walk(target.x - SIZE.widthPx / 2, 'ArrowLeft', 'ArrowRight');
    await walk(target.y - SIZE.heightPx / 2, 'ArrowUp', 'ArrowDown');
    await page.keyboard.press('x');
    await page.keyboard.press('m');
    await page.keyboard.type('TR');
    await page.keyboard.press('Enter');
    await page.getByText(/^Kept: TR Vmax/).waitFor();
    const [row] = await kept('tr-vmax');
    expect(row?.method).toBe('doppler');
    expect(Math.abs((row?.value ?? 0) - 3.1)).toBeLessThan((cmPerSPerPx / 100) * 1.2);
    await page.keyboard.press('u');
    await page.keyboard.press('Escape');
  });

  it('gives no millimetre without a scale, until two points and their distance are said', async () => {
    const place = await tileOf(/Tile \d: .*mitral/);
    await page.keyboard.press(String(place));
    await page.keyboard.press('l');
    await page.getByText(/This clip has no scale/).waitFor();
    await click(place, 200, 100);
    await click(place, 200, 200);
    expect(await page.getByLabel('Measured length').textContent()).toMatch(/no scale/);
    expect(await page.getByRole('button', { name: /^Keep/ }).count()).toBe(0);
    await page.keyboard.press('d');
    await click(place, 200, 100);
    await click(place, 200, 200);
    await page.getByLabel('Their distance in mm').fill('40');
    await page.keyboard.press('Enter');
    await page.getByLabel('Measured length').waitFor();
    expect(await page.getByText(/This clip has no scale/).count()).toBe(0);
    await click(place, 200, 100);
    await click(place, 200, 200);
    await expect
      .poll(async () =>
        Number(/([\d.]+) mm/.exec((await page.getByLabel('Measured length').textContent()) ?? '')?.[1]),
      )
      .toBeCloseTo(40, 0);
    await page.keyboard.press('Escape');
    await page.keyboard.press('Escape');
  });

  it('marks moments, corrects an outline, and puts an example and an earlier scan beside', async () => {
    const place = await tileOf(/Tile \d: .*papillary/);
    await page.keyboard.press(String(place));
    await page.keyboard.press('e');
    const said = (kind: string) =>
      system.admin<{ statement: Record<string, unknown> }[]>`
        select statement from clip_statements where statement->>'kind' = ${kind} order by made_at`;
    await expect.poll(async () => (await said('marks')).length, { timeout: PATIENCE_MS }).toBe(1);
    expect((await said('marks'))[0]?.statement).toMatchObject({ endDiastole: [await frameOf(place)] });
    await page.keyboard.press('z');
    await page.getByText(/Pull the line|Put the inner edge/).waitFor();
    if (await page.getByText('Put the inner edge').count()) {
      for (let k = 0; k < 12; k += 1)
        await click(place, 240 + 40 * Math.cos((k * Math.PI) / 6), 180 + 40 * Math.sin((k * Math.PI) / 6));
      await page.keyboard.press('Enter');
    }
    await page.keyboard.press('Enter');
    await expect.poll(async () => (await said('outline')).length, { timeout: PATIENCE_MS }).toBe(1);
    await page.keyboard.press('Shift+X');
    await page.getByText('drawn example, not this patient').waitFor();
    await page.keyboard.press(String(place));
    await page.keyboard.press('Shift+B');
    await page.getByText('earlier scan of 4 May 2026').waitFor();
    await page.keyboard.press('l');
    await page
      .getByRole('alert')
      .getByText(/Only clips of this referral/)
      .waitFor();
  });

  it('lists every key, and has nothing that a machine finds wrong', async () => {
    expect(await findAxeProblems(page, 'desk with tools')).toEqual([]);
    await page.keyboard.press('?');
    await page.getByRole('dialog', { name: 'Keys' }).waitFor();
    expect(await page.getByRole('dialog').locator('.keys-line').count()).toBeGreaterThan(45);
    expect(await findAxeProblems(page, 'list of keys')).toEqual([]);
    expect(faults).toEqual([]);
  });
});
