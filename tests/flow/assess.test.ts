/** The pictures of a clip are looked at by a job, and what they say goes where the clip goes and changes nothing else. */
import type { AddressInfo } from 'node:net';
import type { Assessment } from '@chordae/contract';
import { assessment } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoClip } from '../../apps/api/src/demo/demo-clips';
import { assessClipJob } from '../../apps/api/src/features/assessments';
import { jobTable } from '../../apps/api/src/worker';
import { startTestApp, type TestApp, workOff } from '../support/test-app';
import { uploadFile } from '../support/upload';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  openDraft,
  type Session,
  signIn,
  type World,
} from '../support/world';

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

/** Somebody holds the referral, as for naming a view, and changes the clip once the job waits: neither may be thrown out for the other. */
async function assessWhileTheClipIsChanged(d: OpenedReferral, clipId: string): Promise<void> {
  let working: Promise<unknown> = Promise.resolve();
  await t.admin.begin(async (tx) => {
    await tx`select 1 from referrals where id = ${d.referralId} for update`;
    working = assessClipJob(t.worker, d.practiceId, clipId);
    const waiting = () =>
      t.admin`select 1 from pg_stat_activity where datname = current_database() and wait_event_type = 'Lock'`;
    await expect.poll(async () => (await waiting()).length, { timeout: 60_000 }).toBe(1);
    await tx`update clips set view = view where id = ${clipId}`;
  });
  await working;
}

describe('the pictures of a clip', () => {
  it('are looked at on arrival, again when the view is named, and only readers of a sent referral see it', async () => {
    const d = await openDraft(vet, world, world.practiceA);
    const bytes = await demoClip({
      view: 'rps-short-papillary',
      species: 'dog',
      weightKg: 7.4,
      heart: 'normal',
      seed: 7,
      patientName: 'Pebble',
      practiceName: 'Test Practice',
      day: '2026-11-25',
    });
    await uploadFile(vet, base, d, 'short.dcm', bytes);
    await work();
    const clip = (await caseOf(vet, d)).clips[0];
    if (!clip?.assessment) throw new Error('the clip was not assessed');
    // Without a view nothing is asked that rests on one.
    expect(clip.assessment).toMatchObject({ view: null, shortAxis: null });
    // The demo's heart beats 105 times a minute, and the file carries its R waves.
    expect(Math.abs((clip.assessment.cycle.beatsPerMinute ?? 0) - 105)).toBeLessThan(6);
    const before = await caseOf(vet, d);

    const named = await vet.patch(`/api/practices/${d.practiceId}/clips/${clip.id}`, {
      view: 'rps-short-papillary',
    });
    expect(named.status).toBe(200);
    await assessWhileTheClipIsChanged(d, clip.id);
    await work();
    const after = await caseOf(vet, d);
    expect(after.clips[0]?.assessment).toMatchObject({ view: 'rps-short-papillary' });
    expect(after.clips[0]?.assessment?.shortAxis?.verdict).not.toBe('off-axis');
    expect(JSON.stringify(after.clips[0])).not.toContain('outlines');
    expect(after.clips[0]?.viewJudged).toBe('received');
    expect(after.interpretation?.flags.map((f) => f.code)).toEqual(
      before.interpretation?.flags.map((f) => f.code),
    );

    const url = `/api/cases/${d.practiceId}/${d.referralId}/clips/${clip.id}/assessment`;
    const full = assessment.parse((await vet.get(url)).body) as Assessment;
    expect(full.shortAxis?.outlines).toHaveLength(full.frameCount);
    // The file's own scale is the one that stands.
    expect(full.calibration.reasons).toContain('CALIBRATION_FROM_FILE');

    expect((await cardiologist.get(url)).status).toBe(404);
    await vet.patch(d.base, { base: 1, fields: { question: 'Round?' } });
    const sent = await vet.post(`${d.base}/send`, {
      base: (await caseOf(vet, d)).referral.revision,
      identityReason: 'The demo file names another practice',
    });
    expect(sent.status, sent.raw).toBe(200);
    expect((await cardiologist.get(url)).status).toBe(200);
    expect((await caseOf(cardiologist, d)).clips[0]?.assessment?.view).toBe('rps-short-papillary');
    const other = await signIn(t.app, world.people.vetB.email);
    expect((await other.get(url)).status).toBe(404);

    // What a later version can no longer read costs the hints, not the case.
    await t.admin`update assessments set result = '{"engine":"of another time"}'::jsonb where clip_id = ${clip.id}`;
    expect((await caseOf(cardiologist, d)).clips[0]?.assessment).toBeNull();
    expect((await cardiologist.get(url)).status).toBe(404);
  });
});
