import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import path from 'node:path';
import { readPackIndex } from '@chordae/codecs';
import type { SendingPreview } from '@chordae/contract';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { settleLeftovers } from '../../apps/api/src/features/arrivals';
import { jobTable } from '../../apps/api/src/worker';
import { madeDicom } from '../support/made-dicom';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import { send, uploadFile } from '../support/upload';
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

/** Grey values of one frame of a pack, as the browser would show them. */
async function frameOf(pack: Buffer, number: number): Promise<{ at(x: number, y: number): number }> {
  const read = readPackIndex(pack);
  if (!read.ok) throw new Error('not a pack');
  const frame = read.value.frames[number];
  if (!frame) throw new Error('no such frame');
  const { data, info } = await sharp(pack.subarray(frame.offset, frame.offset + frame.sizeBytes))
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { at: (x, y) => data[y * info.width + x] as number };
}

describe('a file on its way', () => {
  it('arrives in pieces, is read in its own process, plays for the practice and is masked for the group', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const bytes = madeDicom({ frames: 4 });
    await uploadFile(vet, base, d, 'a/b/../clip one.dcm', bytes, { chunkSize: 3000 });
    await work();
    const seen = await caseOf(vet, d);
    expect(seen.arrivals[0]).toMatchObject({
      state: 'read',
      fileName: 'clip one.dcm',
      receivedBytes: bytes.length,
    });
    const clip = seen.clips[0];
    expect(clip?.description).toMatchObject({
      frameCount: 4,
      widthPx: 64,
      heightPx: 48,
      timing: 'frame-time',
      frameTimesMs: [0, 40, 80, 120],
    });
    expect(clip?.machine?.patientName).toContain('PEBBLE');
    const packUrl = `/api/cases/${d.practiceId}/${d.referralId}/clips/${clip?.id}/pack`;
    const own = await frameOf((await vet.get(packUrl)).bytes, 1);
    expect(own.at(30, 3)).toBeGreaterThan(240);

    await vet.patch(d.base, { base: 1, fields: { question: 'What is it?' } });
    const preview = (await vet.get(`${d.base}/sending`)).body as SendingPreview;
    expect(preview.identity).toMatchObject([
      { field: 'name', verdict: 'agrees' },
      { field: 'scan-date', verdict: 'agrees' },
    ]);
    expect((await vet.post(`${d.base}/send`, { base: 2, identityReason: null })).status).toBe(200);
    const outgoing = await frameOf((await cardiologist.get(packUrl)).bytes, 1);
    expect(outgoing.at(30, 3)).toBeLessThan(16);
    expect(Math.abs(outgoing.at(30, 30) - own.at(30, 30))).toBeLessThanOrEqual(6);

    // Exact pixels for measuring: equal to what was written, masked for the group.
    const png = await sharp(
      (await vet.get(`/api/cases/${d.practiceId}/${d.referralId}/clips/${clip?.id}/frames/2`)).bytes,
    )
      .greyscale()
      .raw()
      .toBuffer();
    expect(png[30 * 64 + 20]).toBe((20 * 3 + 30 * 5 + 2 * 11 + 17) & 127);
    const masked = await sharp(
      (await cardiologist.get(`/api/cases/${d.practiceId}/${d.referralId}/clips/${clip?.id}/frames/2`)).bytes,
    )
      .greyscale()
      .raw()
      .toBuffer();
    expect([masked[3 * 64 + 20], masked[30 * 64 + 20]]).toEqual([0, png[30 * 64 + 20]]);
  });

  it('resumes where it was cut, and is acknowledged only when it is stored whole', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const bytes = madeDicom({ frames: 9, seed: 2 });
    const arrivalId = uuidv7();
    await vet.put(`/api/practices/${d.practiceId}/arrivals/${arrivalId}`, {
      referralId: d.referralId,
      scanId: d.scanId,
      fileName: 'cut.dcm',
      sizeBytes: bytes.length,
      sha256: null,
    });
    const tus = { 'tus-resumable': '1.0.0', cookie: vet.cookie };
    const meta = `arrivalId ${Buffer.from(arrivalId).toString('base64')},practiceId ${Buffer.from(d.practiceId).toString('base64')}`;
    const made = await fetch(`${base}/api/uploads`, {
      method: 'POST',
      headers: { ...tus, 'upload-length': String(bytes.length), 'upload-metadata': meta },
    });
    expect(made.status).toBe(201);
    const url = `${base}${made.headers.get('location')}`;
    await fetch(url, {
      method: 'PATCH',
      headers: { ...tus, 'upload-offset': '0', 'content-type': 'application/offset+octet-stream' },
      body: bytes.slice(0, 5000),
    });
    const half = await fetch(url, { method: 'HEAD', headers: tus });
    expect(half.headers.get('upload-offset')).toBe('5000');
    // A second creation, after a lost reply, does not throw the first half away.
    expect(
      (
        await fetch(`${base}/api/uploads`, {
          method: 'POST',
          headers: { ...tus, 'upload-length': String(bytes.length), 'upload-metadata': meta },
        })
      ).status,
    ).toBe(201);
    expect((await caseOf(vet, d)).arrivals[0]).toMatchObject({ state: 'arriving', receivedBytes: 5000 });
    // Without a session: refused, and the offset is kept.
    expect(
      (
        await fetch(url, {
          method: 'PATCH',
          headers: {
            'tus-resumable': '1.0.0',
            'upload-offset': '5000',
            'content-type': 'application/offset+octet-stream',
          },
          body: bytes.slice(5000),
        })
      ).status,
    ).toBe(401);
    await send(vet, base, d, arrivalId, bytes, undefined, url);
    const stored = await t.admin<
      { sha256: string; storage_key: string }[]
    >`select sha256, storage_key from originals o join arrivals a on a.original_id = o.id where a.id = ${arrivalId}`;
    expect(stored[0]?.sha256).toBe(createHash('sha256').update(bytes).digest('hex'));
    // Asking again after the end says that all of it is there.
    expect((await fetch(url, { method: 'HEAD', headers: tus })).headers.get('upload-offset')).toBe(
      String(bytes.length),
    );
  });

  it('settles a file whose last byte came just before the process died', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const bytes = madeDicom({ seed: 3 });
    const arrivalId = uuidv7();
    await vet.put(`/api/practices/${d.practiceId}/arrivals/${arrivalId}`, {
      referralId: d.referralId,
      scanId: d.scanId,
      fileName: 'late.dcm',
      sizeBytes: bytes.length,
      sha256: null,
    });
    const { writeFile } = await import('node:fs/promises');
    await writeFile(path.join(t.services.config.dataFolder, 'uploads', arrivalId), bytes);
    expect(await settleLeftovers(t.services)).toBeGreaterThanOrEqual(1);
    await work();
    expect((await caseOf(vet, d)).arrivals[0]).toMatchObject({ state: 'read' });
  });

  it('recognises the same file in the same referral, and sounds an alarm under another patient', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const bytes = madeDicom({ seed: 4 });
    await uploadFile(vet, base, d, 'first.dcm', bytes);
    await work();
    await uploadFile(vet, base, d, 'again.dcm', bytes);
    await work();
    const seen = await caseOf(vet, d);
    expect(seen.arrivals.map((a) => a.state)).toEqual(['read', 'duplicate']);
    expect(seen.clips).toHaveLength(1);
    const known = await vet.post(`/api/practices/${d.practiceId}/originals/known`, {
      sha256s: [createHash('sha256').update(bytes).digest('hex')],
    });
    expect(known.body).toMatchObject([
      { fileName: 'first.dcm', patientName: 'Pebble' },
      { fileName: 'again.dcm' },
    ]);

    const other = await openDraft(vet, world, world.practiceA, { name: 'Gravel' });
    await uploadFile(vet, base, other, 'other.dcm', bytes);
    await work();
    expect((await caseOf(vet, other)).arrivals[0]?.problem).toMatchObject({
      code: 'FILE_UNDER_TWO_PATIENTS',
      data: { patientName: 'Pebble' },
    });
    // In another practice the same bytes tell nothing.
    const vetB = await signIn(t.app, world.people.vetB.email);
    expect(
      (
        await vetB.post(`/api/practices/${world.practiceB}/originals/known`, {
          sha256s: [createHash('sha256').update(bytes).digest('hex')],
        })
      ).body,
    ).toEqual([]);
  });

  it('stops the sending while names differ and a mask is undecided, and holds a differing clip that comes later', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    await uploadFile(
      vet,
      base,
      d,
      'noregion.dcm',
      madeDicom({ seed: 5, withRegion: false, name: 'SOMEBODY^ELSE' }),
    );
    await work();
    await vet.patch(d.base, { base: 1, fields: { question: 'What is it?' } });
    expect((await vet.post(`${d.base}/send`, { base: 2, identityReason: null })).body).toMatchObject({
      code: 'NOT_READY',
      field: 'clips',
    });
    const clip = (await caseOf(vet, d)).clips[0];
    expect(clip?.mask).toBe('needs-decision');
    expect(
      (
        await vet.post(`/api/practices/${d.practiceId}/clips/${clip?.id}/mask`, {
          kind: 'box',
          box: { x0: 0, y0: 10, x1: 400, y1: 40 },
        })
      ).status,
    ).toBe(400);
    expect(
      (
        await vet.post(`/api/practices/${d.practiceId}/clips/${clip?.id}/mask`, {
          kind: 'box',
          box: { x0: 0, y0: 10, x1: 63, y1: 47 },
        })
      ).status,
    ).toBe(200);
    await work();
    expect((await vet.post(`${d.base}/send`, { base: 2, identityReason: null })).body).toMatchObject({
      code: 'IDENTITY_UNRESOLVED',
    });
    expect((await vet.post(`${d.base}/send`, { base: 2, identityReason: 'Renamed last week.' })).status).toBe(
      200,
    );
    const frame = await frameOf(
      (await cardiologist.get(`/api/cases/${d.practiceId}/${d.referralId}/clips/${clip?.id}/pack`)).bytes,
      0,
    );
    expect(frame.at(30, 3)).toBeLessThan(16);

    await uploadFile(vet, base, d, 'late.dcm', madeDicom({ seed: 6, name: 'QUITE^DIFFERENT' }));
    await work();
    expect((await caseOf(cardiologist, d)).clips).toHaveLength(1);
    const held = (await caseOf(vet, d)).clips[1];
    expect(held?.held).toBe('identity-differs');
    expect(
      (
        await vet.post(`/api/practices/${d.practiceId}/clips/${held?.id}/release`, {
          reason: 'Same dog, typed wrongly at the machine.',
        })
      ).status,
    ).toBe(200);
    expect((await caseOf(cardiologist, d)).clips).toHaveLength(2);
  });

  it('refuses what it cannot read in one sentence each, and stores nothing half', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const whole = madeDicom({ seed: 7 });
    const files: [string, Uint8Array, RegExp][] = [
      ['cut.dcm', whole.slice(0, whole.length - 2000), /TRUNCATED/],
      ['text.dcm', Buffer.from('this is no picture at all, only words'), /NOT_AN_IMAGE|FORMAT/],
      [
        'film.mp4',
        Buffer.concat([Buffer.from([0, 0, 0, 24]), Buffer.from('ftypisom'), Buffer.alloc(200)]),
        /FILM_/,
      ],
    ];
    for (const [name, bytes] of files) await uploadFile(vet, base, d, name, bytes);
    await work();
    const seen = await caseOf(vet, d);
    for (const [name, , code] of files) {
      const arrival = seen.arrivals.find((a) => a.fileName === name);
      expect(arrival?.state, name).toBe('unreadable');
      expect(arrival?.problem?.code, name).toMatch(code);
    }
    expect(seen.clips).toHaveLength(0);
    expect(
      (
        await vet.put(`/api/practices/${d.practiceId}/arrivals/${uuidv7()}`, {
          referralId: d.referralId,
          scanId: d.scanId,
          fileName: 'empty.dcm',
          sizeBytes: 0,
          sha256: null,
        })
      ).body,
    ).toMatchObject({ code: 'FIELD_INVALID', field: 'sizeBytes' });
    const wrong = uuidv7();
    await vet.put(`/api/practices/${d.practiceId}/arrivals/${wrong}`, {
      referralId: d.referralId,
      scanId: d.scanId,
      fileName: 'changed.dcm',
      sizeBytes: 5,
      sha256: '0'.repeat(64),
    });
    await send(vet, base, d, wrong, Buffer.from('hello'));
    expect((await caseOf(vet, d)).arrivals.find((a) => a.id === wrong)?.problem?.code).toBe(
      'FILE_CHANGED_ON_THE_WAY',
    );
  });
});

const shared = process.env['CHORDAE_SHARED_DATA'];
describe.skipIf(!shared)('real files (CHORDAE_SHARED_DATA)', () => {
  it('reads the open clips that this version covers, over the whole way', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const names = [
      'echo_plax_mr_ai_palette_rle_10f.dcm',
      'echo_jpegbaseline_fragmented_8f.dcm',
      'echo_rgb_implicit_8f.dcm',
      'us_jpegbaseline_ybr422_30f.dcm',
      'us_palette_2frames.dcm',
    ];
    const manifest = JSON.parse(await readFile(path.join(shared ?? '', 'MANIFEST.json'), 'utf8')) as {
      files: { file: string; frames: number; rows: number; columns: number }[];
    };
    for (const name of names)
      await uploadFile(vet, base, d, name, await readFile(path.join(shared ?? '', name)), {
        chunkSize: 200_000,
      });
    await work();
    const seen = await caseOf(vet, d);
    for (const name of names) {
      const clip = seen.clips.find((c) => c.fileName === name);
      const row = manifest.files.find((f) => f.file === name);
      expect(clip?.description, name).toMatchObject({
        frameCount: row?.frames,
        heightPx: row?.rows,
        widthPx: row?.columns,
      });
    }
  });
});
