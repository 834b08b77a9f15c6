import type { AddressInfo } from 'node:net';
import type { SendingPreview } from '@chordae/contract';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jobTable } from '../../apps/api/src/worker';
import { announceFile, putFirstFrame, smallJpeg } from '../support/first-frame';
import { madeDicom } from '../support/made-dicom';
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

/** A small masked picture goes ahead of each clip: who sees it, when, and that it never outlives its clip. */
let t: TestApp;
let world: World;
let vet: Session;
let cardiologist: Session;
let base: string;

beforeAll(async () => {
  t = await startTestApp();
  await t.app.listen({ host: '127.0.0.1', port: 0 });
  base = `http://127.0.0.1:${(t.app.server.address() as AddressInfo).port}`;
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
  cardiologist = await signIn(t.app, world.people.cardiologist.email);
});
afterAll(async () => t.close());

const work = () => workOff(t, jobTable(t.worker) as never);
const pictureOf = (d: OpenedReferral, arrivalId: string) =>
  `/api/cases/${d.practiceId}/${d.referralId}/first-frames/${arrivalId}`;
async function sendIt(d: OpenedReferral, identityReason: string | null = null) {
  await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } });
  return vet.post(`${d.base}/send`, { base: 2, identityReason });
}

describe('a first frame', () => {
  it('is for the practice alone until the referral is sent, stands on the desk until the clip is there, and goes', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const arrivalId = uuidv7();
    const bytes = madeDicom({ frames: 4, seed: 201 });
    await announceFile(vet, d, arrivalId, bytes.length, 'EXAMPLE^PEBBLE');
    expect((await putFirstFrame(vet, d, arrivalId)).status).toBe(200);
    expect((await caseOf(vet, d)).firstFrames).toEqual([
      { arrivalId, view: 'rps-long-4ch', widthPx: 64, heightPx: 48 },
    ]);
    expect((await cardiologist.get(pictureOf(d, arrivalId))).status).toBe(404);

    expect((await sendIt(d)).status).toBe(200);
    const seen = await caseOf(cardiologist, d);
    expect([seen.arriving, seen.clips.length, seen.firstFrames.length]).toEqual([1, 0, 1]);
    const picture = await cardiologist.get(pictureOf(d, arrivalId));
    expect(picture.headers['content-type']).toBe('image/jpeg');
    expect(picture.headers['cache-control']).toContain('no-store');
    expect(await sharp(picture.bytes).metadata()).toMatchObject({ width: 64, height: 48, format: 'jpeg' });

    await send(vet, base, d, arrivalId, bytes);
    expect((await caseOf(cardiologist, d)).firstFrames).toHaveLength(1);
    await work();
    const after = await caseOf(cardiologist, d);
    expect([after.clips.length, after.firstFrames.length]).toEqual([1, 0]);
    expect((await cardiologist.get(pictureOf(d, arrivalId))).status).toBe(404);
    // The view was said once.
    expect(after.clips[0]?.view).toBe('rps-long-4ch');
    // One that comes late does not come back.
    expect((await putFirstFrame(vet, d, arrivalId)).status).toBe(200);
    expect((await caseOf(vet, d)).firstFrames).toEqual([]);
    expect((await t.admin`select 1 from first_frames where picture is not null`).length).toBe(0);
  });

  it('that comes after sending is opened at once, and held while its file names another animal', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    expect((await vet.patch(d.base, { base: 1, fields: { history: 'x' } })).status).toBe(200);
    const [fits, stranger] = [uuidv7(), uuidv7()] as [string, string];
    await announceFile(vet, d, fits, 1000, 'EXAMPLE^PEBBLE');
    await vet.patch(d.base, { base: 2, fields: { question: 'How far?' } });
    expect((await vet.post(`${d.base}/send`, { base: 3, identityReason: null })).status).toBe(200);
    await announceFile(vet, d, stranger, 2000, 'EXAMPLE^STRANGER');
    await putFirstFrame(vet, d, fits);
    await putFirstFrame(vet, d, stranger);
    expect((await caseOf(cardiologist, d)).firstFrames.map((f) => f.arrivalId)).toEqual([fits]);
    expect((await cardiologist.get(pictureOf(d, stranger))).status).toBe(404);
    expect((await caseOf(vet, d)).firstFrames).toHaveLength(2);
  });

  it('meets an animal mixed up before a byte of the clip has come', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const arrivalId = uuidv7();
    await announceFile(vet, d, arrivalId, 1000, 'EXAMPLE^STRANGER');
    await putFirstFrame(vet, d, arrivalId);
    const refused = await sendIt(d);
    expect(refused.status).toBe(409);
    expect((refused.body as { code: string }).code).toBe('IDENTITY_UNRESOLVED');
    const preview = (await vet.get(`${d.base}/sending`)).body as SendingPreview;
    expect(preview.identity).toMatchObject([
      { clipId: arrivalId, field: 'name', verdict: 'differs', inFile: 'EXAMPLE^STRANGER' },
    ]);
    const explained = await vet.post(`${d.base}/send`, { base: 2, identityReason: 'Its old name.' });
    expect(explained.status).toBe(200);
  });

  it('gives what was said of it to its clip: the box that may leave, and nothing of the file outside it', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const arrivalId = uuidv7();
    // No regions in the file: it does not say where the picture ends.
    const bytes = madeDicom({ frames: 4, seed: 202, withRegion: false });
    await announceFile(vet, d, arrivalId, bytes.length, 'EXAMPLE^PEBBLE');
    const box = { x0: 0, y0: 8, x1: 63, y1: 47 };
    await putFirstFrame(vet, d, arrivalId, { decision: { kind: 'box', box } });
    await send(vet, base, d, arrivalId, bytes);
    await work();
    const clip = (await caseOf(vet, d)).clips[0];
    expect(clip).toMatchObject({ mask: 'box', keepBox: box });
    expect((await sendIt(d)).status).toBe(200);
    const png = await cardiologist.get(
      `/api/cases/${d.practiceId}/${d.referralId}/clips/${clip?.id}/frames/0`,
    );
    const { data, info } = await sharp(png.bytes).greyscale().raw().toBuffer({ resolveWithObject: true });
    const rows = Array.from({ length: info.height }, (_r, y) =>
      Math.max(...data.subarray(y * info.width, (y + 1) * info.width)),
    );
    expect(rows.slice(0, 8)).toEqual([0, 0, 0, 0, 0, 0, 0, 0]);
    expect(Math.min(...rows.slice(8))).toBeGreaterThan(0);
  });

  it('gives the sector that was agreed to to its clip, by its outline', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const arrivalId = uuidv7();
    const bytes = madeDicom({ frames: 4, seed: 205, withRegion: false });
    await announceFile(vet, d, arrivalId, bytes.length, 'EXAMPLE^PEBBLE');
    const outline = [32, 8, 63, 47, 1, 47];
    expect((await putFirstFrame(vet, d, arrivalId, { decision: { kind: 'fan', outline } })).status).toBe(200);
    await send(vet, base, d, arrivalId, bytes);
    await work();
    const clip = (await caseOf(vet, d)).clips[0];
    expect(clip).toMatchObject({ mask: 'fan', keepBox: { y0: 9, y1: 46, outline } });
    const url = `/api/cases/${d.practiceId}/${d.referralId}/clips/${clip?.id}/pack`;
    // Made by the decision that came with the file, before anybody asked.
    expect((await vet.get(`${url}?as=group`)).status).toBe(200);
    expect((await sendIt(d)).status).toBe(200);
    const png = await cardiologist.get(url.replace('/pack', '/frames/0'));
    const { data, info } = await sharp(png.bytes).greyscale().raw().toBuffer({ resolveWithObject: true });
    expect([data[10 * info.width + 5], data[10 * info.width + 58], data[4 * info.width + 32]]).toEqual([
      0, 0, 0,
    ]);
    expect(data[40 * info.width + 32]).toBeGreaterThan(0);
  });

  it('leaves the question open where the box that was said does not lie in the picture', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const arrivalId = uuidv7();
    const bytes = madeDicom({ frames: 4, seed: 203, withRegion: false });
    await announceFile(vet, d, arrivalId, bytes.length);
    await putFirstFrame(vet, d, arrivalId, {
      decision: { kind: 'box', box: { x0: 900, y0: 900, x1: 990, y1: 990 } },
    });
    await send(vet, base, d, arrivalId, bytes);
    await work();
    expect((await caseOf(vet, d)).clips[0]?.mask).toBe('needs-decision');
  });

  it('is refused when it is no plain small JPEG, and by every other practice', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const arrivalId = uuidv7();
    await announceFile(vet, d, arrivalId, 1000);
    const withWords = await sharp({ create: { width: 8, height: 8, channels: 3, background: '#000' } })
      .jpeg()
      .withExif({ IFD0: { ImageDescription: 'EXAMPLE^PEBBLE' } })
      .toBuffer();
    for (const jpegBase64 of [
      Buffer.from('no picture').toString('base64'),
      withWords.toString('base64'),
      '%%',
    ])
      expect((await putFirstFrame(vet, d, arrivalId, { jpegBase64 })).status).toBe(400);
    const noise = Buffer.alloc(3 * 400 * 400).map((_b, n) => (n * 7919 + ((n * n) >> 3)) & 255);
    const large = await sharp(noise, { raw: { width: 400, height: 400, channels: 3 } })
      .jpeg({ quality: 100 })
      .toBuffer();
    expect(large.length).toBeGreaterThan(65_536);
    expect((await putFirstFrame(vet, d, arrivalId, { jpegBase64: large.toString('base64') })).status).toBe(
      400,
    );
    const other = await signIn(t.app, world.people.vetB.email);
    const theirs = await other.put(`/api/practices/${world.practiceB}/arrivals/${arrivalId}/first-frame`, {
      view: null,
      decision: null,
      jpegBase64: await smallJpeg(),
    });
    expect(theirs.status).toBe(404);
    expect((await caseOf(vet, d)).firstFrames).toEqual([]);
  });
});
