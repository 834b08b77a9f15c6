import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { type ArrivalRecord, type MachineSays, takesClips } from '@chordae/contract';
import { and, eq, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { storageKey } from '../../platform/storage/folder-storage';
import { uuidv7 } from '../../platform/uuid';
import { findReferral } from '../cases';
import { recordEvent } from '../events';
import { arrivals, originals } from './arrivals.tables';

export type ArrivalRow = typeof arrivals.$inferSelect;

export function uploadFolder(services: Services): string {
  return path.join(services.config.dataFolder, 'uploads');
}

export function toArrivalRecord(
  row: ArrivalRow,
  receivedBytes: number,
  clipId: string | null,
): ArrivalRecord {
  return {
    id: row.id,
    referralId: row.referralId,
    fileName: row.fileName,
    sizeBytes: row.sizeBytes,
    receivedBytes,
    state: row.state,
    problem: row.problem,
    clipId,
    report: row.report,
  };
}

/** For the reading group: how many files of a referral are still on their way. Nothing else of them is told. */
export async function stillArriving(tx: ActorTx, practiceId: string, referralId: string): Promise<number> {
  const rows = await tx.execute<{ n: number }>(sql`select arriving_of(${practiceId}, ${referralId}) as n`);
  return rows[0]?.n ?? 0;
}

/** How many bytes have come: the upload's own file while it is arriving. */
export async function receivedBytes(services: Services, row: ArrivalRow): Promise<number> {
  if (row.state !== 'expected' && row.state !== 'arriving') return row.sizeBytes;
  const file = await stat(path.join(uploadFolder(services), row.id)).catch(() => null);
  return file?.size ?? 0;
}

export async function findArrival(tx: ActorTx, practiceId: string, arrivalId: string): Promise<ArrivalRow> {
  const row = (
    await tx
      .select()
      .from(arrivals)
      .where(and(eq(arrivals.practiceId, practiceId), eq(arrivals.id, arrivalId)))
  )[0];
  if (!row) throw new AppError('NOT_FOUND');
  return row;
}

/** A row must exist before its first byte: an upload id alone opens nothing. */
export async function announceArrival(
  tx: ActorTx,
  services: Services,
  actor: Actor & { memberId: string },
  ask: {
    practiceId: string;
    arrivalId: string;
    referralId: string;
    scanId: string;
    fileName: string;
    sizeBytes: number;
    sha256: string | null;
    machine?: MachineSays | null | undefined;
    filmedScreen?: boolean | undefined;
  },
): Promise<ArrivalRow> {
  if (ask.sizeBytes > services.config.CHORDAE_MAX_FILE_BYTES) {
    throw new AppError(
      'FILE_TOO_LARGE',
      { fileName: ask.fileName, limitBytes: services.config.CHORDAE_MAX_FILE_BYTES },
      { field: 'sizeBytes' },
    );
  }
  const referral = await findReferral(tx, ask.practiceId, ask.referralId);
  if (!takesClips(referral.state)) throw new AppError('STATE_CHANGED', { state: referral.state });
  await tx
    .insert(arrivals)
    .values({
      practiceId: ask.practiceId,
      id: ask.arrivalId,
      referralId: ask.referralId,
      scanId: ask.scanId,
      fileName: safeFileName(ask.fileName),
      sizeBytes: ask.sizeBytes,
      sha256Announced: ask.sha256,
      machine: ask.machine ?? null,
      filmedByName: ask.filmedScreen ? actor.name : null,
      createdBy: actor.memberId,
    })
    .onConflictDoNothing();
  const row = await findArrival(tx, ask.practiceId, ask.arrivalId);
  if (row.sizeBytes !== ask.sizeBytes || row.referralId !== ask.referralId)
    throw new AppError('ID_IN_USE', {}, { field: 'arrivalId' });
  return row;
}

/** Only the last part of a path, without control characters: names are shown, never used as paths. */
export function safeFileName(name: string): string {
  const last = name.replaceAll('\\', '/').split('/').at(-1) ?? '';
  return last.replace(/\p{Cc}/gu, '').slice(0, 200) || 'file';
}

async function sha256OfFile(file: string): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(file, { highWaterMark: 1 << 20 })) hash.update(chunk as Buffer);
  return hash.digest('hex');
}

/**
 * Settles a finished upload: original stored durably, row and job in one transaction. Safe to run twice and after a
 * crash at any line: the file is moved first, and a second run finds it under the key that the first one chose.
 */
export async function settleArrival(
  services: Services,
  practiceId: string,
  arrivalId: string,
): Promise<boolean> {
  const file = path.join(uploadFolder(services), arrivalId);
  const row = await services.db.withJob(practiceId, 'arrivals', (tx) =>
    findArrival(tx, practiceId, arrivalId),
  );
  if (row.state !== 'expected' && row.state !== 'arriving') return true;
  // The key is the arrival's own id, so that a run cut off after the move is completed by the next one.
  const key = storageKey('originals', arrivalId);
  const waiting = await stat(file).catch(() => null);
  if (waiting && waiting.size < row.sizeBytes) return false;
  if (waiting) await services.storage.takeFile(key, file);
  else if ((await services.storage.size(key)) === null) return false;
  const sha256 = await services.storage.withLocalFile(key, sha256OfFile);
  const kept = await services.db.withJob(practiceId, 'arrivals', (tx, actor) =>
    storeOriginal(tx, actor, { practiceId, arrivalId, key, sha256 }),
  );
  if (!kept) await services.storage.remove(key);
  await rm(`${file}.json`, { force: true });
  return true;
}

/** true when the bytes were new and are kept under `key`. */
async function storeOriginal(
  tx: ActorTx,
  actor: Actor,
  done: { practiceId: string; arrivalId: string; key: string; sha256: string },
): Promise<boolean> {
  const { practiceId, arrivalId, key, sha256 } = done;
  const where = and(eq(arrivals.practiceId, practiceId), eq(arrivals.id, arrivalId));
  const row = (await tx.select().from(arrivals).where(where).for('update'))[0];
  if (!row || (row.state !== 'expected' && row.state !== 'arriving')) return true;
  if (row.sha256Announced && row.sha256Announced !== sha256) {
    await tx
      .update(arrivals)
      .set({
        state: 'unreadable',
        problem: { code: 'FILE_CHANGED_ON_THE_WAY', data: { fileName: row.fileName } },
      })
      .where(where);
    return false;
  }
  const made = await tx
    .insert(originals)
    .values({ practiceId, id: uuidv7(), storageKey: key, sha256, sizeBytes: row.sizeBytes })
    .onConflictDoNothing()
    .returning({ id: originals.id });
  const original = (
    await tx
      .select()
      .from(originals)
      .where(and(eq(originals.practiceId, practiceId), eq(originals.sha256, sha256)))
  )[0];
  if (!original) throw new Error('an original must exist after its insert');
  const isNew = made.length > 0;
  const sameCase = isNew
    ? []
    : await tx.execute(
        sql`select 1 from arrivals where practice_id = ${practiceId} and referral_id = ${row.referralId} and original_id = ${original.id} and id <> ${arrivalId}`,
      );
  if (sameCase.length > 0) {
    await tx
      .update(arrivals)
      .set({
        state: 'duplicate',
        originalId: original.id,
        problem: { code: 'FILE_ALREADY_HERE', data: { fileName: row.fileName } },
      })
      .where(where);
  } else {
    await tx.update(arrivals).set({ state: 'arrived', originalId: original.id }).where(where);
    await enqueue(tx, 'original.read', { practiceId, arrivalId }, `read:${arrivalId}`);
  }
  const referral = await findReferral(tx, practiceId, row.referralId);
  await recordEvent(tx, actor, {
    practiceId,
    groupId: referral.groupId,
    referralId: row.referralId,
    kind: 'original.arrived',
    data: { arrivalId, sizeBytes: row.sizeBytes, sha256 },
  });
  return isNew || original.storageKey === key;
}

/** One file taken out of an archive that arrived. */
export interface ArchiveMember {
  readonly path: string;
  readonly name: string;
  readonly sizeBytes: number;
  readonly sha256: string;
}

/**
 * A file out of an archive arrives as one of its own, in the referral and scan of the archive. Its id is made from the
 * archive's arrival and its content, so that a run repeated after a crash makes no second one.
 */
export async function takeMember(
  services: Services,
  archive: ArrivalRow,
  member: ArchiveMember,
): Promise<void> {
  const { practiceId } = archive;
  const arrivalId = uuidFrom(`${archive.id}/${member.name}/${member.sha256}`);
  const row = await services.db.withJob(practiceId, 'arrivals', async (tx) => {
    await tx
      .insert(arrivals)
      .values({
        practiceId,
        id: arrivalId,
        referralId: archive.referralId,
        scanId: archive.scanId,
        fileName: member.name.slice(-200),
        sizeBytes: member.sizeBytes,
        sha256Announced: member.sha256,
        state: 'arriving',
        createdBy: archive.createdBy,
      })
      .onConflictDoNothing();
    return findArrival(tx, practiceId, arrivalId);
  });
  if (row.state !== 'arriving') return;
  const key = storageKey('originals', arrivalId);
  await services.storage.takeFile(key, member.path);
  const kept = await services.db.withJob(practiceId, 'arrivals', (tx, actor) =>
    storeOriginal(tx, actor, { practiceId, arrivalId, key, sha256: member.sha256 }),
  );
  if (!kept) await services.storage.remove(key);
}

/** A UUID of version 8 (RFC 9562 5.8) from a text. */
function uuidFrom(text: string): string {
  const bytes = createHash('sha256').update(text).digest().subarray(0, 16);
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x80;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  return bytes.toString('hex').replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

/** After a crash: uploads whose last byte was taken but whose row was not settled yet. */
export async function settleLeftovers(services: Services): Promise<number> {
  const rows = await services.db.gate<
    { practice_id: string; id: string }[]
  >`select * from unsettled_arrivals()`;
  let settled = 0;
  for (const { practice_id: practiceId, id } of rows) {
    try {
      if (await settleArrival(services, practiceId, id)) settled += 1;
    } catch (error) {
      services.log.error({ error, arrivalId: id }, 'an arrival could not be settled');
    }
  }
  return settled;
}
