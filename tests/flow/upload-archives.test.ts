import type { AddressInfo } from 'node:net';
import type { CaseView } from '@chordae/contract';
import { sayProblem } from '@chordae/words';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jobTable } from '../../apps/api/src/worker';
import { sampleZip } from '../../packages/codecs/src/node/sample-zip';
import { madeDicom } from '../support/made-dicom';
import { startTestApp, type TestApp, workOff } from '../support/test-app';
import { uploadFile } from '../support/upload';
import {
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
let base: string;

beforeAll(async () => {
  t = await startTestApp();
  await t.app.listen({ host: '127.0.0.1', port: 0 });
  base = `http://127.0.0.1:${(t.app.server.address() as AddressInfo).port}`;
  world = await makeWorld(t.admin);
  vet = await signIn(t.app, world.people.vetA.email);
});
afterAll(async () => t.close());

const work = () => workOff(t, jobTable(t.worker) as never);
const caseOf = async (d: OpenedReferral) =>
  (await vet.get(`/api/cases/${d.practiceId}/${d.referralId}`)).body as CaseView;

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
    const seen = await caseOf(d);
    expect(seen.clips.map((clip) => clip.fileName).sort()).toEqual(['STICK/IM000001', 'STICK/IM000002']);
    expect(seen.clips.map((clip) => clip.machine?.patientName).sort()).toEqual([
      'EXAMPLE PEBBLE',
      'OTHER ANIMAL',
    ]);
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
    const again = await caseOf(d);
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
    const seen = await caseOf(d);
    expect(seen.arrivals).toHaveLength(1);
    expect(seen.arrivals[0]).toMatchObject({ state: 'unreadable', problem: { code: 'ARCHIVE_UNPACKED' } });
    expect(seen.clips).toHaveLength(0);
  });
});
