import { isUnsent, routes, takesClips } from '@chordae/contract';
import { and, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { findArrival } from '../arrivals';
import { differsFromPatient, lockReferral, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { firstFrames } from './first-frames.tables';
import { sizeOfPlainJpeg } from './plain-jpeg';

const MOST_BYTES = 65_536;

/** Small pictures that go ahead of their clips, masked where they were made. */
export function registerFirstFrames(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.putFirstFrame, async ({ tx, params, body, actor }) => {
    const picture = Buffer.from(body.jpegBase64, 'base64');
    const size = sizeOfPlainJpeg(picture);
    if (!size || picture.length > MOST_BYTES)
      throw new AppError(
        'FIELD_INVALID',
        {},
        {
          field: 'jpegBase64',
          message:
            'jpegBase64: it must be a JPEG of at most 64 KiB that carries nothing besides its picture.',
        },
      );
    const arrival = await findArrival(tx, params.practiceId, params.arrivalId);
    const where = { practiceId: params.practiceId, referralId: arrival.referralId };
    // Under the referral's lock: a picture that comes while it is sent is either opened by it or opened here.
    const referral = await lockReferral(tx, where);
    if (!takesClips(referral.state)) throw new AppError('STATE_CHANGED', { state: referral.state });
    // The clip was quicker, or will never come.
    const now = await findArrival(tx, params.practiceId, params.arrivalId);
    if (!['expected', 'arriving', 'arrived'].includes(now.state)) return { ok: true as const };
    const held =
      now.machine &&
      !isUnsent(referral.state) &&
      (await differsFromPatient(tx, params.practiceId, referral.patientId, now.scanId, now.machine))
        ? 'identity-differs'
        : null;
    const said = {
      groupId: held ? null : referral.groupId,
      view: body.view,
      ...size,
      // The column knows no sectors: `decision` has its outline, and is what counts for the clip.
      mask: body.decision?.kind === 'fan' ? ('box' as const) : (body.decision?.kind ?? ('regions' as const)),
      decision: body.decision,
      held,
      picture,
    };
    await tx
      .insert(firstFrames)
      .values({ ...where, arrivalId: params.arrivalId, ...said })
      .onConflictDoUpdate({ target: [firstFrames.practiceId, firstFrames.arrivalId], set: said });
    await recordEvent(tx, actor, {
      ...where,
      groupId: said.groupId,
      kind: 'first-frame.arrived',
      data: { arrivalId: params.arrivalId },
    });
    await touchReferral(tx, where);
    return { ok: true as const };
  });

  serve(app, services, routes.firstFrame, async ({ tx, params, reply }) => {
    const [row] = await tx
      .select({ picture: firstFrames.picture })
      .from(firstFrames)
      .where(
        and(
          eq(firstFrames.practiceId, params.practiceId),
          eq(firstFrames.referralId, params.referralId),
          eq(firstFrames.arrivalId, params.arrivalId),
        ),
      );
    if (!row?.picture) throw new AppError('NOT_FOUND');
    // It may be made anew with another decision, and goes when its clip is there: it is never kept.
    void reply.header('cache-control', 'private, no-store').type('image/jpeg').send(row.picture);
  });
}
