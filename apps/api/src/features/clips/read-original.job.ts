import path from 'node:path';
import type { MadePacks } from '@chordae/codecs';
import { isUnsent, type Problem, takesClips } from '@chordae/contract';
import { and, eq, sql } from 'drizzle-orm';
import type { Actor, ActorTx } from '../../platform/db/database';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { storageKey } from '../../platform/storage/folder-storage';
import { uuidv7 } from '../../platform/uuid';
import { arrivals, findArrival, originals } from '../arrivals';
import {
  differsFromPatient,
  findReferral,
  interpretLater,
  lockReferral,
  patientRoot,
  referrals,
  touchReferral,
} from '../cases';
import { recordEvent } from '../events';
import { saidOfFirstFrame } from '../first-frames';
import { clipStatements } from './clip-statements.tables';
import { clipOrigins, clips, packs } from './clips.tables';
import { decidedMask } from './mask-decision';
import { keepOf, readOriginal, withScratch } from './read-original';
import { readReportOriginal } from './read-report';
import { shareClip } from './share-clip';
import { unpackOriginal } from './unpack-original';

/** Stage 2: an original becomes a clip with its packs, or `unreadable` with a reason. Run twice, it makes one clip. */
export async function readOriginalJob(
  services: Services,
  practiceId: string,
  arrivalId: string,
): Promise<void> {
  const arrival = await services.db.withJob(practiceId, 'reader', (tx) =>
    findArrival(tx, practiceId, arrivalId),
  );
  if (arrival.state !== 'arrived' || !arrival.originalId) return;
  const originalId = arrival.originalId;
  const original = await services.db.withJob(
    practiceId,
    'reader',
    async (tx) =>
      (
        await tx
          .select()
          .from(originals)
          .where(and(eq(originals.practiceId, practiceId), eq(originals.id, originalId)))
      )[0],
  );
  if (!original) return;
  await withScratch(services, async (folder) => {
    const ownPath = path.join(folder, 'own');
    const outgoingPath = path.join(folder, 'outgoing');
    const outcome = await services.storage.withLocalFile(original.storageKey, (originalPath) =>
      readOriginal(services, { kind: 'make-packs', originalPath, ownPath, outgoingPath, keep: 'auto' }),
    );
    if (!outcome.ok && outcome.problem.code === 'ARCHIVE_TO_UNPACK') {
      await unpackOriginal(services, arrival, original.storageKey, folder);
      return;
    }
    if (!outcome.ok && outcome.problem.code === 'DICOM_REPORT')
      return readReportOriginal(services, arrival, original.storageKey);
    if (!outcome.ok) {
      await services.db.withJob(practiceId, 'reader', (tx, actor) =>
        markUnreadable(tx, actor, practiceId, arrivalId, outcome.problem),
      );
      return;
    }
    const made = outcome.value;
    const ownKey = storageKey('packs', uuidv7());
    if (made.own) await services.storage.takeFile(ownKey, ownPath);
    const outgoingKey = made.outgoing ? storageKey('packs', uuidv7()) : null;
    if (outgoingKey) await services.storage.takeFile(outgoingKey, outgoingPath);
    await services.db.withJob(practiceId, 'reader', (tx, actor) =>
      storeClip(tx, actor, { practiceId, arrivalId, originalId, made, ownKey, outgoingKey }),
    );
  });
}

async function markUnreadable(
  tx: ActorTx,
  actor: Actor,
  practiceId: string,
  arrivalId: string,
  problem: Problem,
): Promise<void> {
  const row = await findArrival(tx, practiceId, arrivalId);
  await tx
    .update(arrivals)
    .set({ state: 'unreadable', problem })
    .where(and(eq(arrivals.practiceId, practiceId), eq(arrivals.id, arrivalId)));
  const referral = await findReferral(tx, practiceId, row.referralId);
  await recordEvent(tx, actor, {
    practiceId,
    groupId: referral.groupId,
    referralId: row.referralId,
    kind: 'original.unreadable',
    data: { arrivalId, code: problem.code },
  });
}

interface Made {
  readonly practiceId: string;
  readonly arrivalId: string;
  readonly originalId: string;
  readonly made: MadePacks;
  readonly ownKey: string;
  readonly outgoingKey: string | null;
}

async function storeClip(tx: ActorTx, actor: Actor, m: Made): Promise<void> {
  const { practiceId, arrivalId, made } = m;
  const arrival = (
    await tx
      .select()
      .from(arrivals)
      .where(and(eq(arrivals.practiceId, practiceId), eq(arrivals.id, arrivalId)))
      .for('update')
  )[0];
  if (!arrival || arrival.state !== 'arrived') return;
  const where = { practiceId, referralId: arrival.referralId };
  // Numbers are given under the referral's lock: two clips arriving together get two.
  const referral = await lockReferral(tx, where);
  if (!takesClips(referral.state)) {
    // What was signed on stays as it was: the original is kept, a clip is not made of it any more.
    await tx
      .update(arrivals)
      .set({ state: 'unreadable', problem: { code: 'REFERRAL_ENDED', data: { fileName: arrival.fileName } } })
      .where(and(eq(arrivals.practiceId, practiceId), eq(arrivals.id, arrivalId)));
    return;
  }
  const clipId = uuidv7();
  // A clip that comes after sending leaves only when what its file says fits the patient.
  const held = isUnsent(referral.state)
    ? null
    : (await differsFromPatient(tx, practiceId, referral.patientId, arrival.scanId, made.machine))
      ? 'identity-differs'
      : null;
  const number = referral.clipCount + 1;
  // What its sender said of it while it was on its way: never above what the file itself says.
  const said = await saidOfFirstFrame(tx, practiceId, arrivalId);
  const decided = made.mask === 'needs-decision' ? decidedMask(made.description, said.decision) : null;
  await tx.insert(clips).values({
    practiceId,
    id: clipId,
    scanId: arrival.scanId,
    referralId: arrival.referralId,
    arrivalId,
    originalId: m.originalId,
    number,
    description: made.description,
    view: said.view,
    mask: decided?.mask ?? made.mask,
    keepBox: decided ? decided.keepBox : made.keepBox,
    held,
    versions: { ...made.versions },
  });
  await tx
    .insert(clipOrigins)
    .values({ practiceId, clipId, fileName: arrival.fileName, machine: made.machine });
  if (arrival.filmedByName !== null)
    await tx.insert(clipStatements).values({
      practiceId,
      id: uuidv7(),
      groupId: null,
      clipId,
      referralId: arrival.referralId,
      statement: { kind: 'source', source: 'filmed-screen' },
      side: 'sender',
      madeBy: arrival.createdBy,
      madeByName: arrival.filmedByName,
    });
  const pack = (kind: 'own' | 'outgoing', key: string, p: { bytes: number; sha256: string }) =>
    tx.insert(packs).values({
      practiceId,
      id: uuidv7(),
      clipId,
      kind,
      storageKey: key,
      sizeBytes: p.bytes,
      sha256: p.sha256,
      formatVersion: made.versions.packFormat,
    });
  if (made.own) await pack('own', m.ownKey, made.own);
  if (made.outgoing && m.outgoingKey) await pack('outgoing', m.outgoingKey, made.outgoing);
  await tx
    .update(arrivals)
    .set({
      state: 'read',
      problem: await elsewhere(tx, practiceId, m.originalId, arrivalId, referral.patientId),
    })
    .where(and(eq(arrivals.practiceId, practiceId), eq(arrivals.id, arrivalId)));
  await tx
    .update(referrals)
    .set({ clipCount: number })
    .where(and(eq(referrals.practiceId, practiceId), eq(referrals.id, arrival.referralId)));
  if (referral.groupId && held === null) await shareClip(tx, practiceId, clipId, referral.groupId);
  await recordEvent(tx, actor, {
    ...where,
    groupId: referral.groupId,
    kind: held ? 'clip.held' : 'clip.read',
    data: { clipId, number, frames: made.description.frameCount, ...(held ? { held } : {}) },
  });
  if (decided) await enqueue(tx, 'clip.remask', { practiceId, clipId }, `remask:${clipId}`);
  await enqueue(tx, 'clip.assess', { practiceId, clipId }, `assess:${practiceId}:${clipId}`);
  await touchReferral(tx, where);
  await interpretLater(tx, practiceId, arrival.referralId);
}

/** The same bytes in another referral: said; under another patient: an alarm. */
async function elsewhere(
  tx: ActorTx,
  practiceId: string,
  originalId: string,
  arrivalId: string,
  patientId: string,
): Promise<Problem | null> {
  const rows = await tx.execute<{ number: number; patient_id: string; name: string }>(sql`
    select r.number, patient_root(r.practice_id, r.patient_id) as patient_id, p.name from arrivals a join referrals r on r.practice_id = a.practice_id and r.id = a.referral_id
      join patients p on p.practice_id = r.practice_id and p.id = r.patient_id
     where a.practice_id = ${practiceId} and a.original_id = ${originalId} and a.id <> ${arrivalId}`);
  const stands = await patientRoot(tx, practiceId, patientId);
  const other = rows.find((r) => r.patient_id !== stands) ?? rows[0];
  if (!other) return null;
  const code = other.patient_id === stands ? 'FILE_ALREADY_SENT' : 'FILE_UNDER_TWO_PATIENTS';
  return { code, data: { referralNumber: other.number, patientName: other.name } };
}

/** A decision about the mask makes a new outgoing pack; the older one is put out of use in the same step. */
export async function remaskClip(services: Services, practiceId: string, clipId: string): Promise<void> {
  const found = await services.db.withJob(practiceId, 'reader', async (tx) => {
    const clip = (
      await tx
        .select()
        .from(clips)
        .where(and(eq(clips.practiceId, practiceId), eq(clips.id, clipId)))
    )[0];
    if (!clip) return null;
    const original = (
      await tx
        .select()
        .from(originals)
        .where(and(eq(originals.practiceId, practiceId), eq(originals.id, clip.originalId)))
    )[0];
    return original ? { clip, original } : null;
  });
  if (!found) return;
  const keep = keepOf(found.clip);
  if (keep === null) return;
  await withScratch(services, async (folder) => {
    const outgoingPath = path.join(folder, 'outgoing');
    const outcome = await services.storage.withLocalFile(found.original.storageKey, (originalPath) =>
      readOriginal(services, { kind: 'make-packs', originalPath, ownPath: null, outgoingPath, keep }),
    );
    if (!outcome.ok || !outcome.value.outgoing)
      throw new Error(
        `the outgoing pack of a clip could not be made: ${outcome.ok ? 'none written' : outcome.problem.code}`,
      );
    const key = storageKey('packs', uuidv7());
    await services.storage.takeFile(key, outgoingPath);
    const { outgoing, versions } = outcome.value;
    await services.db.withJob(practiceId, 'reader', async (tx, actor) => {
      // Under the referral's lock: sending meanwhile must not leave the new pack behind; a newer decision has its own job.
      const referral = await lockReferral(tx, { practiceId, referralId: found.clip.referralId });
      const clip = (
        await tx
          .select()
          .from(clips)
          .where(and(eq(clips.practiceId, practiceId), eq(clips.id, clipId)))
          .for('update')
      )[0];
      if (!clip || JSON.stringify(keepOf(clip)) !== JSON.stringify(keep)) return;
      await tx
        .update(packs)
        .set({ supersededAt: services.clock.now(), groupId: null })
        .where(
          and(
            eq(packs.practiceId, practiceId),
            eq(packs.clipId, clipId),
            eq(packs.kind, 'outgoing'),
            sql`${packs.supersededAt} is null`,
          ),
        );
      await tx.insert(packs).values({
        practiceId,
        id: uuidv7(),
        clipId,
        kind: 'outgoing',
        storageKey: key,
        sizeBytes: outgoing.bytes,
        sha256: outgoing.sha256,
        formatVersion: versions.packFormat,
      });
      if (referral.groupId && clip.held === null) await shareClip(tx, practiceId, clipId, referral.groupId);
      await recordEvent(tx, actor, {
        practiceId,
        groupId: referral.groupId,
        referralId: found.clip.referralId,
        kind: 'clip.masked',
        data: { clipId },
      });
    });
  });
}
