import { createHash } from 'node:crypto';
import { buffer } from 'node:stream/consumers';
import type { ShelfClip, ShelfKind, TeachingState, ViewId } from '@chordae/contract';
import { breeds } from '@chordae/interpretation';
import { CLIP_NOT_READY, CONSENT_MISSING, NOT_ANSWERED_YET } from '@chordae/words';
import { and, asc, desc, eq, isNull } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { storageKey } from '../../platform/storage/folder-storage';
import { uuidv7 } from '../../platform/uuid';
import { readingGroups } from '../accounts';
import { findReferral } from '../cases';
import { findClip, packs } from '../clips';
import { recordEvent } from '../events';
import { teachingClips, teachingConsents, teachingSources } from './teaching.tables';

type Member = Actor & { readonly memberId: string };
interface Place {
  readonly practiceId: string;
  readonly referralId: string;
}

export interface ShelfAsk extends Place {
  readonly groupId: string;
  readonly teachingId: string;
  readonly clipId: string;
  readonly view: ViewId;
  readonly kind: ShelfKind;
  readonly title: string;
  readonly words: string;
}

export async function teachingState(tx: ActorTx, at: Place): Promise<TeachingState> {
  const consent = await consentOf(tx, at);
  const rows = await tx
    .select({ clip: teachingClips, clipId: teachingSources.clipId })
    .from(teachingSources)
    .innerJoin(
      teachingClips,
      and(
        eq(teachingClips.groupId, teachingSources.groupId),
        eq(teachingClips.id, teachingSources.teachingId),
      ),
    )
    .where(
      and(
        eq(teachingSources.practiceId, at.practiceId),
        eq(teachingSources.referralId, at.referralId),
        isNull(teachingClips.withdrawnAt),
      ),
    )
    .orderBy(asc(teachingClips.addedAt));
  const demos = await demoGroups(tx);
  return {
    consent: consent ? { by: consent.givenByName, at: consent.givenAt.toISOString() } : null,
    onShelf: rows.map(({ clip, clipId }) => ({ ...toShelfClip(clip, demos.has(clip.groupId)), clipId })),
  };
}

/** Given once the case is answered; taken back at any time, and then a trigger empties the shelf of it in this transaction. */
export async function setConsent(
  tx: ActorTx,
  actor: Member,
  at: Place,
  given: boolean,
  now: Date,
): Promise<void> {
  const referral = await findReferral(tx, at.practiceId, at.referralId);
  const standing = await consentOf(tx, at);
  if (given === (standing !== null)) return;
  if (given && (!referral.groupId || !['answered', 'closed'].includes(referral.state)))
    throw new AppError('STATE_CHANGED', { state: referral.state }, { message: NOT_ANSWERED_YET });
  const row = { givenBy: actor.memberId, givenByName: actor.name, givenAt: now, withdrawnAt: null };
  if (given)
    await tx
      .insert(teachingConsents)
      .values({ ...at, groupId: referral.groupId, ...row })
      .onConflictDoUpdate({ target: [teachingConsents.practiceId, teachingConsents.referralId], set: row });
  else
    await tx
      .update(teachingConsents)
      .set({ withdrawnAt: now })
      .where(
        and(eq(teachingConsents.practiceId, at.practiceId), eq(teachingConsents.referralId, at.referralId)),
      );
  await recordEvent(tx, actor, {
    ...at,
    groupId: referral.groupId,
    kind: given ? 'teaching.consent-given' : 'teaching.consent-withdrawn',
  });
}

/** Copies the masked pack under a key of its own; only what may stand beside it goes along. The same id again changes nothing. */
export async function putOnShelf(
  tx: ActorTx,
  services: Services,
  actor: Member,
  ask: ShelfAsk,
): Promise<ShelfClip> {
  const there = await findShelfClip(tx, ask);
  const demo = (await demoGroups(tx)).has(ask.groupId);
  if (there) return toShelfClip(there, demo);
  const referral = await findReferral(tx, ask.practiceId, ask.referralId);
  if (referral.groupId !== ask.groupId) throw new AppError('NOT_FOUND');
  // Held until this commits: consent that is taken back meanwhile finds the clip and takes it off.
  const consent = await consentOf(tx, ask, true);
  if (!consent) throw new AppError('STATE_CHANGED', {}, { field: 'referralId', message: CONSENT_MISSING });
  const clip = await findClip(tx, ask.practiceId, ask.clipId);
  if (clip.referralId !== ask.referralId) throw new AppError('NOT_FOUND');
  const pack = await lockedPack(tx, ask);
  if (!pack || !referral.patientSent)
    throw new AppError('NOT_READY', {}, { field: 'clipId', message: CLIP_NOT_READY });
  const bytes = await buffer(services.storage.read(pack.storageKey));
  const key = storageKey('packs', uuidv7());
  await services.storage.putBytes(key, bytes);
  const { patientSent } = referral;
  const { kind, widthPx, heightPx, frameCount } = clip.description;
  await tx.insert(teachingClips).values({
    groupId: ask.groupId,
    id: ask.teachingId,
    view: ask.view,
    kind: ask.kind,
    title: ask.title,
    words: ask.words,
    species: patientSent.species,
    breedText: breeds.find((b) => b.code === patientSent.breedCode)?.name ?? '',
    weightKg: patientSent.weight ? Math.round(patientSent.weight.weightKg * 10) / 10 : null,
    ageMonths: patientSent.ageMonths,
    storageKey: key,
    sizeBytes: bytes.length,
    sha256: createHash('sha256').update(bytes).digest('hex'),
    description: { kind, widthPx, heightPx, frameCount },
    addedByName: actor.name,
    addedAt: services.clock.now(),
  });
  const { groupId, teachingId, practiceId, referralId, clipId } = ask;
  await tx.insert(teachingSources).values({ groupId, teachingId, practiceId, referralId, clipId });
  await recordEvent(tx, actor, {
    practiceId,
    referralId,
    groupId,
    kind: 'teaching.clip-added',
    data: { clipId, teachingId, view: ask.view, kind: ask.kind },
  });
  const made = await findShelfClip(tx, ask);
  if (!made) throw new AppError('NOT_FOUND');
  return toShelfClip(made, demo);
}

export async function takeOff(
  tx: ActorTx,
  at: { groupId: string; teachingId: string },
  now: Date,
): Promise<void> {
  const done = await tx
    .update(teachingClips)
    .set({ withdrawnAt: now })
    .where(
      and(
        eq(teachingClips.groupId, at.groupId),
        eq(teachingClips.id, at.teachingId),
        isNull(teachingClips.withdrawnAt),
      ),
    )
    .returning({ id: teachingClips.id });
  if (done.length === 0) throw new AppError('NOT_FOUND');
}

/** What row-level security lets this member see: shelves of their groups, and of the groups that read for their practices. */
export async function shelfOf(tx: ActorTx, view: ViewId): Promise<ShelfClip[]> {
  const rows = await tx
    .select()
    .from(teachingClips)
    .where(and(eq(teachingClips.view, view), isNull(teachingClips.withdrawnAt)))
    .orderBy(asc(teachingClips.kind), desc(teachingClips.addedAt))
    .limit(60);
  const demos = await demoGroups(tx);
  return rows.map((row) => toShelfClip(row, demos.has(row.groupId)));
}

/** A clip that is on the shelf now; one that was taken off is not found. */
export async function findOnShelf(tx: ActorTx, at: { groupId: string; teachingId: string }) {
  const row = await findShelfClip(tx, at);
  if (!row || row.withdrawnAt !== null) throw new AppError('NOT_FOUND');
  return row;
}

async function findShelfClip(tx: ActorTx, at: { groupId: string; teachingId: string }) {
  const rows = await tx
    .select()
    .from(teachingClips)
    .where(and(eq(teachingClips.groupId, at.groupId), eq(teachingClips.id, at.teachingId)));
  return rows[0] ?? null;
}

/** Groups that are an invented demonstration, of those the viewer may see. */
async function demoGroups(tx: ActorTx): Promise<ReadonlySet<string>> {
  const rows = await tx
    .select({ id: readingGroups.id })
    .from(readingGroups)
    .where(eq(readingGroups.demo, true));
  return new Set(rows.map((r) => r.id));
}

async function consentOf(tx: ActorTx, at: Place, lock = false) {
  const reading = tx
    .select()
    .from(teachingConsents)
    .where(
      and(
        eq(teachingConsents.practiceId, at.practiceId),
        eq(teachingConsents.referralId, at.referralId),
        isNull(teachingConsents.withdrawnAt),
      ),
    );
  return (await (lock ? reading.for('share') : reading))[0] ?? null;
}

/** The masked pack that stands; held, so that a new mask finds the copy that is being made of it. */
async function lockedPack(tx: ActorTx, at: { practiceId: string; clipId: string }) {
  const rows = await tx
    .select()
    .from(packs)
    .where(
      and(
        eq(packs.practiceId, at.practiceId),
        eq(packs.clipId, at.clipId),
        eq(packs.kind, 'outgoing'),
        isNull(packs.supersededAt),
      ),
    )
    .for('share');
  return rows[0] ?? null;
}

function toShelfClip(row: typeof teachingClips.$inferSelect, demo: boolean): ShelfClip {
  return {
    groupId: row.groupId,
    id: row.id,
    view: row.view,
    kind: row.kind,
    title: row.title,
    words: row.words,
    species: row.species,
    breedText: row.breedText,
    weightKg: row.weightKg,
    ageMonths: row.ageMonths,
    frameCount: row.description.frameCount,
    demo,
  };
}
