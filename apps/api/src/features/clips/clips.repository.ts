import type { ClipRecord } from '@chordae/contract';
import { and, asc, eq, isNull } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { clipOrigins, clips, packs } from './clips.tables';

export type ClipRow = typeof clips.$inferSelect;

/** Clips as the actor may see them: row-level security leaves the origins out for the reading group. */
export async function clipsOf(tx: ActorTx, practiceId: string, referralId: string): Promise<ClipRecord[]> {
  const rows = await tx
    .select({ c: clips, o: clipOrigins })
    .from(clips)
    .leftJoin(
      clipOrigins,
      and(eq(clipOrigins.practiceId, clips.practiceId), eq(clipOrigins.clipId, clips.id)),
    )
    .where(and(eq(clips.practiceId, practiceId), eq(clips.referralId, referralId)))
    .orderBy(asc(clips.number));
  const sizes = await tx
    .select({ clipId: packs.clipId, kind: packs.kind, sizeBytes: packs.sizeBytes })
    .from(packs)
    .innerJoin(clips, and(eq(clips.practiceId, packs.practiceId), eq(clips.id, packs.clipId)))
    .where(
      and(eq(packs.practiceId, practiceId), eq(clips.referralId, referralId), isNull(packs.supersededAt)),
    );
  return rows.map(({ c, o }) => ({
    id: c.id,
    scanId: c.scanId,
    number: c.number,
    description: c.description,
    view: c.view,
    viewJudged: c.viewJudged,
    viewWhy: c.viewWhy,
    mask: c.mask,
    keepBox: c.keepBox,
    held: c.held,
    // Stage 3 adds it where a case is viewed.
    assessment: null,
    createdAt: c.createdAt.toISOString(),
    packBytes: sizes.find((s) => s.clipId === c.id && s.kind === (o ? 'own' : 'outgoing'))?.sizeBytes ?? 0,
    fileName: o?.fileName ?? null,
    machine: o?.machine ?? null,
  }));
}

export async function findClip(tx: ActorTx, practiceId: string, clipId: string): Promise<ClipRow> {
  const row = (
    await tx
      .select()
      .from(clips)
      .where(and(eq(clips.practiceId, practiceId), eq(clips.id, clipId)))
  )[0];
  if (!row) throw new AppError('NOT_FOUND');
  return row;
}

export async function findPack(tx: ActorTx, practiceId: string, clipId: string, kind: 'own' | 'outgoing') {
  return (
    (
      await tx
        .select()
        .from(packs)
        .where(
          and(
            eq(packs.practiceId, practiceId),
            eq(packs.clipId, clipId),
            eq(packs.kind, kind),
            isNull(packs.supersededAt),
          ),
        )
    )[0] ?? null
  );
}
