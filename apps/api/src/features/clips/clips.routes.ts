import { routes, takesClips } from '@chordae/contract';
import { and, eq } from 'drizzle-orm';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { findReferral, interpretLater, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { findClip, findPack } from './clips.repository';
import { clips } from './clips.tables';
import { groupFramePng, maskedFramePng, ownFramePng } from './frame-picture';
import { maskBox } from './mask-decision';
import { shareClip } from './share-clip';

export function registerClips(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.patchClip, async ({ tx, params, body, actor }) => {
    const clip = await findClip(tx, params.practiceId, params.clipId);
    const referral = await findReferral(tx, params.practiceId, clip.referralId);
    if (!takesClips(referral.state)) throw new AppError('STATE_CHANGED', { state: referral.state });
    await tx
      .update(clips)
      .set({ ...body, revision: clip.revision + 1 })
      .where(and(eq(clips.practiceId, params.practiceId), eq(clips.id, params.clipId)));
    const where = { practiceId: params.practiceId, referralId: clip.referralId };
    await recordEvent(tx, actor, {
      ...where,
      groupId: referral.groupId,
      kind: 'clip.view-named',
      data: { clipId: params.clipId, view: body.view, judged: body.viewJudged },
    });
    // What is asked of the pictures depends on the view.
    if (body.view !== undefined && body.view !== clip.view)
      await enqueue(
        tx,
        'clip.assess',
        { practiceId: params.practiceId, clipId: params.clipId },
        `assess:${params.practiceId}:${params.clipId}`,
      );
    await touchReferral(tx, where);
    await interpretLater(tx, params.practiceId, clip.referralId);
    return { ok: true as const };
  });

  serve(app, services, routes.maskClip, async ({ tx, params, body, actor }) => {
    const clip = await findClip(tx, params.practiceId, params.clipId);
    await tx
      .update(clips)
      .set({ mask: body.kind, keepBox: maskBox(clip.description, body) })
      .where(and(eq(clips.practiceId, params.practiceId), eq(clips.id, params.clipId)));
    const referral = await findReferral(tx, params.practiceId, clip.referralId);
    await recordEvent(tx, actor, {
      practiceId: params.practiceId,
      groupId: referral.groupId,
      referralId: clip.referralId,
      kind: 'clip.mask-decided',
      data: { clipId: params.clipId, kind: body.kind },
    });
    await enqueue(
      tx,
      'clip.remask',
      { practiceId: params.practiceId, clipId: params.clipId },
      `remask:${params.clipId}`,
    );
    return { ok: true as const };
  });

  serve(app, services, routes.releaseClip, async ({ tx, params, body, actor }) => {
    const clip = await findClip(tx, params.practiceId, params.clipId);
    if (clip.held === null) return { ok: true as const };
    await tx
      .update(clips)
      .set({ held: null })
      .where(and(eq(clips.practiceId, params.practiceId), eq(clips.id, params.clipId)));
    const referral = await findReferral(tx, params.practiceId, clip.referralId);
    if (referral.groupId) await shareClip(tx, params.practiceId, params.clipId, referral.groupId);
    const event = { practiceId: params.practiceId, referralId: clip.referralId };
    await recordEvent(tx, actor, {
      ...event,
      groupId: referral.groupId,
      kind: 'clip.released',
      data: { clipId: params.clipId },
    });
    // A practice's free text may name a person: it is kept, but not for the group.
    await recordEvent(tx, actor, {
      ...event,
      groupId: null,
      kind: 'clip.release-explained',
      data: { clipId: params.clipId, reason: body.reason },
    });
    return { ok: true as const };
  });

  serve(app, services, routes.clipPack, async ({ tx, params, query, onCase, request, reply }) => {
    const clip = await findClip(tx, params.practiceId, params.clipId);
    if (clip.referralId !== params.referralId) throw new AppError('NOT_FOUND');
    // The practice may look at what the group gets, before it is sent and after: the very bytes of it.
    const preview = onCase.side === 'practice' && query.as === 'group';
    const kind = onCase.side === 'practice' && !preview ? 'own' : 'outgoing';
    const pack = await findPack(tx, params.practiceId, params.clipId, kind);
    if (!pack) throw new AppError('NOT_READY', { clipId: params.clipId });
    await sendBytes(services, request, reply, {
      key: pack.storageKey,
      size: pack.sizeBytes,
      etag: pack.sha256,
      // It is made anew with each decision about the mask, at the same address.
      changes: preview,
    });
  });

  serve(app, services, routes.clipFrame, async ({ tx, params, query, onCase, reply }) => {
    const clip = await findClip(tx, params.practiceId, params.clipId);
    if (clip.referralId !== params.referralId || params.frame >= clip.description.frameCount)
      throw new AppError('NOT_FOUND');
    const png =
      onCase.side === 'group'
        ? await groupFramePng(services, params)
        : query.as === 'paper'
          ? await maskedFramePng(services, params)
          : await ownFramePng(services, params);
    // What hides a name may still be decided anew: such a picture is asked for each time.
    const keep = query.as === 'paper' ? 'private, no-cache' : 'private, max-age=3600, immutable';
    void reply.header('cache-control', keep).type('image/png').send(Buffer.from(png));
  });
}

/** Sends stored bytes, whole or by range, cacheable only by the person's own browser; `changes`: asked for again each time. */
export async function sendBytes(
  services: Services,
  request: FastifyRequest,
  reply: FastifyReply,
  what: { key: string; size: number; etag: string; changes: boolean },
): Promise<void> {
  const etag = `"${what.etag}"`;
  void reply
    .headers({
      'accept-ranges': 'bytes',
      'cache-control': what.changes ? 'private, no-cache' : 'private, max-age=86400, immutable',
      etag,
      vary: 'cookie',
    })
    .type('application/octet-stream');
  if (request.headers['if-none-match'] === etag) {
    void reply.status(304).send();
    return;
  }
  const range = parseRange(request.headers.range, what.size);
  if (range === 'refused') throw new AppError('RANGE_REFUSED', { size: what.size });
  if (range) {
    void reply.status(206).headers({
      'content-range': `bytes ${range.start}-${range.end}/${what.size}`,
      'content-length': range.end - range.start + 1,
    });
  } else void reply.header('content-length', what.size);
  void reply.send(services.storage.read(what.key, range ?? undefined));
}

/** One range of RFC 9110, section 14; null = send all. */
export function parseRange(
  header: string | undefined,
  size: number,
): { start: number; end: number } | null | 'refused' {
  const found = /^bytes=(\d*)-(\d*)$/.exec(header ?? '');
  if (!found || (found[1] === '' && found[2] === '')) return null;
  const start = found[1] === '' ? Math.max(0, size - Number(found[2])) : Number(found[1]);
  const end = found[1] === '' || found[2] === '' ? size - 1 : Math.min(Number(found[2]), size - 1);
  if (start > end || start >= size) return 'refused';
  return { start, end };
}
