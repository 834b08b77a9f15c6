import type { TestApp } from './test-app';
import { uuidv7 } from './test-app';
import { type OpenedReferral, openDraft, type Session, typeMeasurement, type World } from './world';

export const KEEPER = 'Keeper Zebedee Unmistakable';
export const FILE_NAME = 'unmistakable-file-name.dcm';
export const MACHINE_NAME = 'UNMISTAKABLE^PEBBLE';

export interface SentCase extends OpenedReferral {
  readonly clipId: string;
  readonly arrivalId: string;
}

/** A case with a keeper, a value and one clip with both packs (their bytes say which they are), sent to the group. */
export async function sentCase(
  t: TestApp,
  vet: Session,
  world: World,
  practiceId: string,
): Promise<SentCase> {
  const d = await openDraft(vet, world, practiceId);
  const [arrivalId, clipId, originalId] = [uuidv7(), uuidv7(), uuidv7()] as [string, string, string];
  const must = (r: { status: number; raw: string }) => {
    if (r.status !== 200) throw new Error(`${r.status} ${r.raw}`);
  };
  must(
    await vet.put(`/api/practices/${practiceId}/patients/${d.patientId}/keeper`, {
      name: KEEPER,
      phone: '+353 1 000 0009',
      email: '',
    }),
  );
  must(await typeMeasurement(vet, d, 'lvidd', 38.2));
  must(
    await vet.put(`/api/practices/${practiceId}/arrivals/${arrivalId}`, {
      referralId: d.referralId,
      scanId: d.scanId,
      fileName: FILE_NAME,
      sizeBytes: 10,
      sha256: null,
    }),
  );
  const ownKey = `packs/${clipId.slice(-2)}/${uuidv7()}`;
  const outKey = `packs/${clipId.slice(-2)}/${uuidv7()}`;
  await t.services.storage.putBytes(ownKey, Buffer.from('own pack bytes'));
  await t.services.storage.putBytes(outKey, Buffer.from('outgoing pack bytes'));
  const description = JSON.stringify({
    format: 'dicom',
    transferSyntax: '1.2.840.10008.1.2.1',
    kind: 'still',
    widthPx: 8,
    heightPx: 8,
    frameCount: 1,
    frameTimesMs: null,
    timing: 'still',
    rWaveTimesMs: [],
    regions: [],
    problems: [],
  });
  const machine = JSON.stringify({
    patientName: MACHINE_NAME,
    patientNumber: null,
    speciesText: null,
    breedText: null,
    sexText: null,
    birthDate: null,
    weightKg: null,
    scannedOn: null,
    localTime: null,
    heartRate: null,
    manufacturer: null,
    model: null,
    probe: null,
  });
  const a = t.admin;
  await a`insert into originals (practice_id, id, storage_key, sha256, size_bytes) values (${practiceId}, ${originalId}, ${`originals/00/${uuidv7()}`}, ${'0'.repeat(52) + arrivalId.slice(-12)}, 10)`;
  await a`update arrivals set state = 'read', original_id = ${originalId} where id = ${arrivalId}`;
  await a`insert into clips (practice_id, id, scan_id, referral_id, arrival_id, original_id, number, description, mask, versions)
    values (${practiceId}, ${clipId}, ${d.scanId}, ${d.referralId}, ${arrivalId}, ${originalId}, 1, ${description}::text::jsonb, 'no-name-confirmed', '{}')`;
  await a`insert into clip_origins (practice_id, clip_id, file_name, machine) values (${practiceId}, ${clipId}, ${FILE_NAME}, ${machine}::text::jsonb)`;
  for (const [kind, key, size] of [
    ['own', ownKey, 14],
    ['outgoing', outKey, 19],
  ] as const) {
    await a`insert into packs (practice_id, id, clip_id, kind, storage_key, size_bytes, sha256, format_version) values (${practiceId}, ${uuidv7()}, ${clipId}, ${kind}, ${key}, ${size}, ${kind}, 1)`;
  }
  must(await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } }));
  must(
    await vet.post(`${d.base}/send`, { base: 2, identityReason: 'The machine writes the surname first.' }),
  );
  return { ...d, clipId, arrivalId };
}
