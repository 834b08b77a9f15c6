import type { AddressInfo } from 'node:net';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jobTable } from '../../apps/api/src/worker';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import { send } from '../support/upload';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  openDraft,
  type Session,
  signIn,
  type World,
} from '../support/world';

/** A photograph of a machine's screen: marked from the phone to the desk, and no millimetre before two checked distances. */
let t: TestApp;
let world: World;
let vet: Session;
let cardiologist: Session;
let d: OpenedReferral;
let clipId: string;

beforeAll(async () => {
  t = await startTestApp();
  await t.app.listen({ host: '127.0.0.1', port: 0 });
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  cardiologist = await signIn(t.app, world.people.cardiologist.email);
  d = await openDraft(vet, world, world.practiceA);
  const photograph = await sharp({
    create: { width: 640, height: 480, channels: 3, background: '#445566' },
  })
    .jpeg()
    .toBuffer();
  const arrivalId = uuidv7();
  const announced = await vet.put(`/api/practices/${d.practiceId}/arrivals/${arrivalId}`, {
    referralId: d.referralId,
    scanId: d.scanId,
    fileName: 'screen.jpg',
    sizeBytes: photograph.length,
    sha256: null,
    filmedScreen: true,
  });
  expect(announced.status).toBe(200);
  const base = `http://127.0.0.1:${(t.app.server.address() as AddressInfo).port}`;
  await send(vet, base, d, arrivalId, photograph);
  await workOff(t, jobTable(t.worker) as never);
  clipId = (await caseOf(vet, d)).clips[0]?.id ?? '';
  await vet.post(`/api/practices/${d.practiceId}/clips/${clipId}/mask`, { kind: 'no-name-confirmed' });
  await workOff(t, jobTable(t.worker) as never);
  await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } });
  expect((await vet.post(`${d.base}/send`, { base: 2, identityReason: null })).status).toBe(200);
  const { revision } = (await caseOf(cardiologist, d)).referral;
  const taken = await cardiologist.post(`/api/cases/${d.practiceId}/${d.referralId}/take`, {
    base: revision,
  });
  expect(taken.status).toBe(200);
});
afterAll(async () => t.close());

const at = () => `/api/cases/${d.practiceId}/${d.referralId}`;
const state = (body: unknown) => cardiologist.put(`${at()}/clips/${clipId}/statements/${uuidv7()}`, body);
const distance = (mm: number, to: { x: number; y: number }) => {
  const pixels = Math.hypot(to.x - 100, to.y - 100);
  return state({
    kind: 'calibration',
    cmPerPixel: mm / 10 / pixels,
    from: 'two-points',
    points: [{ x: 100, y: 100 }, to],
    distanceMm: mm,
  });
};
const measure = (cmPerPixel: number) =>
  cardiologist.put(`${at()}/measurements/${uuidv7()}`, {
    code: 'lvidd',
    value: Math.round(1000 * cmPerPixel * 10) / 10,
    unit: 'mm',
    asTyped: '',
    view: 'rps-short-papillary',
    method: '2d',
    beat: 1,
    clipId,
    frame: 0,
    source: 'caliper',
    geometry: {
      shape: 'length',
      points: [
        { x: 200, y: 200 },
        { x: 300, y: 200 },
      ],
      clipId,
      frame: 0,
      scale: { x: cmPerPixel, unitX: 'cm', y: cmPerPixel, unitY: 'cm', baselineY: null },
      axis: null,
      calibration: 'two checked distances on a filmed screen',
      second: null,
    },
    supersedesId: null,
  });

/** LA over Ao, 80 by 50 pixels. */
const ratio = (value: number, onClip = clipId) => {
  const drawn = (from: number, to: number, clip: string) => ({
    points: [
      { x: from, y: 250 },
      { x: to, y: 250 },
    ],
    clipId: clip,
    frame: 0,
    scale: { x: 1, unitX: 'cm', y: 1, unitY: 'cm', baselineY: null },
    axis: null,
  });
  return cardiologist.put(`${at()}/measurements/${uuidv7()}`, {
    code: 'la-ao-ratio',
    value,
    unit: 'ratio',
    asTyped: '',
    view: 'rps-short-aortic',
    method: '2d',
    beat: 1,
    clipId,
    frame: 0,
    source: 'caliper',
    geometry: {
      ...drawn(100, 180, clipId),
      shape: 'ratio',
      calibration: 'none: two lengths in pixels',
      second: drawn(200, 250, onClip),
    },
    supersedesId: null,
  });
};

describe('a photograph of a screen', () => {
  it('gives ratios without a scale, checked by their drawing, and the answer says what they are', async () => {
    expect((await ratio(1.9)).status).toBe(400);
    expect((await ratio(1.6)).status).toBe(200);
    await workOff(t, jobTable(t.worker) as never);
    const { interpretation } = await caseOf(cardiologist, d);
    const index = interpretation?.indices.find((i) => i.code === 'la-ao');
    expect(index?.value).toBeCloseTo(1.6, 9);
    expect(index?.cautions.map((c) => c.code)).toContain('RATIO_BY_PIXELS');
  });

  it('is marked for the readers, by the word of who took it', async () => {
    const { statements } = await caseOf(cardiologist, d);
    expect(statements).toMatchObject([
      { clipId, side: 'sender', by: 'Vet of Ash', statement: { kind: 'source', source: 'filmed-screen' } },
    ]);
  });

  it('gives no millimetre by one distance, nor by two that differ, and gives one by two that agree', async () => {
    expect((await measure(0.05)).status).toBe(400);
    expect((await distance(50, { x: 100, y: 200 })).status).toBe(200);
    expect((await measure(0.05)).status).toBe(400);
    expect((await distance(50, { x: 210, y: 100 })).status).toBe(200);
    expect((await measure(0.05)).status).toBe(400);
    expect((await distance(50, { x: 200, y: 100 })).status).toBe(200);
    const kept = await measure(0.05);
    expect([kept.status, kept.raw]).toEqual([200, expect.anything()]);
  });
});
