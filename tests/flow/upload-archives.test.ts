import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import path from 'node:path';
import { readPackIndex } from '@chordae/codecs';
import { outlineRows } from '@chordae/dicom';
import { randomCine, renderCine, writeAvi } from '@chordae/phantom';
import { sayProblem } from '@chordae/words';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jobTable } from '../../apps/api/src/worker';
import { sampleZip } from '../../packages/codecs/src/node/sample-zip';
import { madeDicom } from '../support/made-dicom';
import { madeReport } from '../support/made-report';
import { startTestApp, type TestApp, workOff } from '../support/test-app';
import { uploadFile } from '../support/upload';
import { caseOf, makeWorld, openDraft, type Session, signIn, type World } from '../support/world';

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

describe('a stick in one archive', () => {
  it('becomes one clip for each picture in it, each with what its own file says, and says what was left', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const archive = sampleZip([
      { name: 'STICK/IM000001', bytes: madeDicom({ seed: 21, name: 'EXAMPLE^PEBBLE' }) },
      { name: 'STICK/IM000002', bytes: madeDicom({ seed: 22, name: 'OTHER^ANIMAL' }) },
      { name: 'STICK/again', bytes: madeDicom({ seed: 21, name: 'EXAMPLE^PEBBLE' }) },
      { name: 'STICK/cut.dcm', bytes: madeDicom({ seed: 23 }).subarray(0, 2000) },
      { name: 'STICK/viewer.exe', bytes: Buffer.from('MZ this is a program, and it is never run') },
    ]);
    const archiveId = await uploadFile(vet, base, d, 'stick.zip', archive);
    await work();
    const seen = await caseOf(vet, d);
    expect(seen.clips.map((clip) => clip.fileName ?? '').sort((a, b) => a.localeCompare(b))).toEqual([
      'STICK/IM000001',
      'STICK/IM000002',
    ]);
    expect(
      seen.clips.map((clip) => clip.machine?.patientName ?? '').sort((a, b) => a.localeCompare(b)),
    ).toEqual(['EXAMPLE PEBBLE', 'OTHER ANIMAL']);
    const state = (name: string) => seen.arrivals.find((arrival) => arrival.fileName === name);
    expect(state('STICK/again')?.state).toBe('duplicate');
    expect(state('STICK/cut.dcm')).toMatchObject({
      state: 'unreadable',
      problem: { code: 'FILE_TRUNCATED' },
    });
    const whole = seen.arrivals.find((arrival) => arrival.id === archiveId);
    expect(whole?.state).toBe('read');
    if (whole?.problem == null) throw new Error('the archive says nothing');
    expect(sayProblem(whole.problem)).toBe(
      'An archive: 4 files were taken out of it to be read. Left inside: 1 no picture, film or report.',
    );
    // Work that is done again after a crash makes nothing twice.
    await t.admin`update arrivals set state = 'arrived' where id = ${archiveId}`;
    await jobTable(t.worker)['original.read']({ practiceId: d.practiceId, arrivalId: archiveId });
    await work();
    const again = await caseOf(vet, d);
    expect(again.arrivals).toHaveLength(seen.arrivals.length);
    expect(again.clips).toHaveLength(2);
  });

  it('of nothing but junk is refused in one sentence and leaves nothing behind', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    await uploadFile(
      vet,
      base,
      d,
      'junk.zip',
      sampleZip([{ name: 'a.txt', bytes: Buffer.from('only words') }]),
    );
    await work();
    const seen = await caseOf(vet, d);
    expect(seen.arrivals).toHaveLength(1);
    expect(seen.arrivals[0]).toMatchObject({ state: 'unreadable', problem: { code: 'ARCHIVE_UNPACKED' } });
    expect(seen.clips).toHaveLength(0);
  });
});

describe("a machine's own report", () => {
  it('offers its numbers to the practice, makes no clip, and keeps what nobody knows', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const patient = (await caseOf(vet, d)).patient.name;
    await uploadFile(vet, base, d, 'report.dcm', madeReport({ name: `EXAMPLE^${patient}` }));
    await work();
    const seen = await caseOf(vet, d);
    expect(seen.clips).toHaveLength(0);
    const [arrival] = seen.arrivals;
    expect(arrival).toMatchObject({ state: 'read', problem: null });
    expect(arrival?.report?.measurements).toMatchObject([
      { code: 'lvidd', value: 48, unit: 'mm', method: 'm-mode', written: '4.8', unitWritten: 'cm' },
      { code: null, name: 'Ventricular shape index', written: '0.82' },
    ]);
    // Nothing is taken over by itself.
    expect(seen.measurements).toHaveLength(0);
  });

  it('of another animal offers nothing and says so', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    await uploadFile(vet, base, d, 'report.dcm', madeReport({ name: 'SOMEBODY^ELSE' }));
    await work();
    const [arrival] = (await caseOf(vet, d)).arrivals;
    expect(arrival?.problem?.code).toBe('REPORT_NAMES_ANOTHER');
  });
});

describe('what the readers get', () => {
  it('is what the practice sees beforehand, byte for byte, with covered places black', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    await uploadFile(vet, base, d, 'clip.dcm', madeDicom({ frames: 4, seed: 41 }));
    await work();
    const clip = (await caseOf(vet, d)).clips[0];
    if (!clip) throw new Error('no clip');
    const url = `/api/cases/${d.practiceId}/${d.referralId}/clips/${clip.id}/pack?as=group`;
    const level = async (x: number, y: number): Promise<number> => {
      const pack = (await t.app.inject({ url, headers: { cookie: vet.cookie } })).rawPayload;
      const index = readPackIndex(pack);
      if (!index.ok) throw new Error('no pack');
      const frame = index.value.frames[1];
      if (!frame) throw new Error('no frame');
      const jpeg = pack.subarray(frame.offset, frame.offset + frame.sizeBytes);
      const { data, info } = await sharp(jpeg).greyscale().raw().toBuffer({ resolveWithObject: true });
      return data[y * info.width + x] ?? -1;
    };
    expect(await level(40, 2)).toBeLessThan(4);
    expect(await level(41, 30)).toBeGreaterThan(20);
    const at = `/api/practices/${d.practiceId}/clips/${clip.id}/mask`;
    const cover = [{ x0: 32, y0: 24, x1: 55, y1: 39 }];
    expect((await vet.post(at, { kind: 'regions', cover })).status).toBe(200);
    await work();
    expect(await level(41, 30)).toBeLessThan(4);
    expect(await level(10, 44)).toBeGreaterThan(20);
    expect((await caseOf(vet, d)).clips[0]).toMatchObject({ mask: 'regions', keepBox: { cover } });
    // Covering all of it is no decision.
    const everything = [{ x0: 0, y0: 0, x1: 63, y1: 47 }];
    expect((await vet.post(at, { kind: 'regions', cover: everything })).status).toBe(400);
  });
});

describe('a film without regions', () => {
  const [widthPx, heightPx] = [400, 300];
  const film = () => {
    const clip = renderCine(
      {
        ...randomCine(11, 'developing', { view: 'rps-long-4ch', widthPx, heightPx, beats: 1.2 }),
        mirrored: false,
        frameCount: 6,
        words: { patientLine: 'EXAMPLE PEBBLE', secondLine: 'SMALL PRACTICE', viewLine: 'LONG AXIS' },
      },
      11,
    );
    const bytes = writeAvi({ widthPx, heightPx, frameTimeMs: 40 }, { coding: 'raw', frames: clip.frames });
    return { clip, bytes };
  };

  it('leaves only once its sender has decided: its sector is proposed, and is all that the readers get', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const { clip: drawn, bytes } = film();
    await uploadFile(vet, base, d, 'film.avi', bytes);
    await work();
    const clip = (await caseOf(vet, d)).clips[0];
    expect(clip).toMatchObject({
      mask: 'needs-decision',
      assessment: { fan: { proposed: true, reasons: [] } },
    });
    const fan = clip?.assessment?.fan;
    if (!clip || !fan) throw new Error('no sector was offered');
    await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } });
    const early = await vet.post(`${d.base}/send`, {
      base: (await caseOf(vet, d)).referral.revision,
      identityReason: null,
    });
    expect(early.raw).toContain('MASK_UNDECIDED');

    const at = `/api/practices/${d.practiceId}/clips/${clip.id}/mask`;
    const wrong = await vet.post(at, { kind: 'fan', outline: [9000, 9000, 9010, 9000, 9005, 9010] });
    expect(wrong.status).toBe(400);
    expect((await vet.post(at, { kind: 'fan', outline: [1, 2, 3, 4, 5, 6, 7] })).status).toBe(400);
    // The other way first; the last word counts.
    expect((await vet.post(at, { kind: 'no-name-confirmed' })).status).toBe(200);
    expect((await vet.post(at, { kind: 'fan', outline: fan.outline })).status).toBe(200);
    await work();
    expect((await caseOf(vet, d)).clips[0]).toMatchObject({ mask: 'fan', keepBox: { outline: fan.outline } });
    const sent = await vet.post(`${d.base}/send`, {
      base: (await caseOf(vet, d)).referral.revision,
      identityReason: null,
    });
    expect(sent.status, sent.raw).toBe(200);

    const place = `/api/cases/${d.practiceId}/${d.referralId}/clips/${clip.id}`;
    const pack = (await t.app.inject({ url: `${place}/pack`, headers: { cookie: cardiologist.cookie } }))
      .rawPayload;
    const index = readPackIndex(pack);
    if (!index.ok) throw new Error('no pack');
    const inside = new Uint8Array(widthPx * heightPx);
    for (const row of outlineRows(fan.outline, widthPx, heightPx))
      inside.fill(1, row.y0 * widthPx + row.x0, row.y0 * widthPx + row.x1 + 1);
    for (const [n, frame] of index.value.frames.entries()) {
      const jpeg = pack.subarray(frame.offset, frame.offset + frame.sizeBytes);
      const shown = await sharp(jpeg).greyscale().raw().toBuffer();
      const luma = drawn.frames[n] ?? new Uint8Array();
      const seen = { outside: 0, inside: 0, lit: 0 };
      for (let p = 0; p < shown.length; p += 1)
        if (inside[p] === 1) seen.inside = Math.max(seen.inside, Math.abs((shown[p] ?? 0) - (luma[p] ?? 0)));
        else {
          seen.outside = Math.max(seen.outside, shown[p] ?? 0);
          seen.lit += (luma[p] ?? 0) > 150 ? 1 : 0;
        }
      // Text stood there; JPEG at quality 95 rounds.
      expect(seen.lit).toBeGreaterThan(100);
      expect(seen.outside).toBeLessThan(14);
      expect(seen.inside).toBeLessThan(14);
    }
    const png = await cardiologist.get(`${place}/frames/2`);
    const exact = await sharp(png.bytes).greyscale().raw().toBuffer();
    const differ = exact.filter((v, p) => v !== (inside[p] === 1 ? drawn.frames[2]?.[p] : 0));
    expect(differ).toHaveLength(0);
  });
});

const shared = process.env['CHORDAE_SHARED_DATA'] ?? '';

describe.skipIf(!existsSync(path.join(shared, 'MANIFEST.json')))('a film (CHORDAE_SHARED_DATA)', () => {
  it('plays with its own times, waits for a decision on names, and leaves once there is one', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const bytes = await readFile(path.join(shared, 'derived', 'echo_plax_10f_mjpeg.avi'));
    await uploadFile(vet, base, d, 'film.avi', bytes);
    await work();
    const clip = (await caseOf(vet, d)).clips[0];
    expect(clip).toMatchObject({
      mask: 'needs-decision',
      description: { format: 'avi', frameCount: 10, timing: 'film' },
    });
    // The settings at the upper left do not move and are pointed at.
    expect(clip?.description.stillMarks?.some((mark) => mark.x0 < 20 && mark.y0 < 20)).toBe(true);
    const pack = `/api/cases/${d.practiceId}/${d.referralId}/clips/${clip?.id}/pack`;
    expect((await vet.get(`${pack}?as=group`)).status).toBe(409);
    const box = { x0: 150, y0: 0, x1: 500, y1: 360 };
    await vet.post(`/api/practices/${d.practiceId}/clips/${clip?.id}/mask`, { kind: 'box', box });
    await work();
    const leaves = (await t.app.inject({ url: `${pack}?as=group`, headers: { cookie: vet.cookie } }))
      .rawPayload;
    const index = readPackIndex(leaves);
    expect(index.ok && index.value.frames.map((frame) => frame.timeMs)).toEqual(
      Array.from({ length: 10 }, (_, n) => 76 * n),
    );
  });
});
