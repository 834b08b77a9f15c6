import { isDeepStrictEqual } from 'node:util';
import {
  type ClipDescription,
  type ClipStatement,
  type ClipStatementRecord,
  isTaking,
  routes,
} from '@chordae/contract';
import { and, asc, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { interpretLater, lockReferral, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { clipStatements } from './clip-statements.tables';
import { findClip } from './clips.repository';

/** What people said about the clips of a referral, oldest first. */
export async function statementsOf(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<ClipStatementRecord[]> {
  const rows = await tx
    .select()
    .from(clipStatements)
    .where(and(eq(clipStatements.practiceId, practiceId), eq(clipStatements.referralId, referralId)))
    .orderBy(asc(clipStatements.madeAt), asc(clipStatements.id));
  return rows.map((r) => ({
    id: r.id,
    clipId: r.clipId,
    statement: r.statement,
    side: r.side,
    by: r.madeByName,
    at: r.madeAt.toISOString(),
  }));
}

export function registerClipStatements(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.putClipStatement, async ({ tx, params, body, actor, onCase }) => {
    const where = { practiceId: params.practiceId, referralId: params.referralId };
    const referral = await lockReferral(tx, where);
    if (!isTaking(referral.state)) throw new AppError('STATE_CHANGED', { state: referral.state });
    if (onCase.side === 'group' && referral.readerId !== actor.memberId)
      throw new AppError('ALREADY_TAKEN', { by: referral.readerName ?? '' });
    const clip = await findClip(tx, params.practiceId, params.clipId);
    if (clip.referralId !== params.referralId) throw new AppError('NOT_FOUND');
    const wrong = whyNot(body, clip.description);
    if (wrong) throw new AppError('FIELD_INVALID', {}, wrong);
    const made = await tx
      .insert(clipStatements)
      .values({
        practiceId: params.practiceId,
        id: params.statementId,
        groupId: clip.groupId,
        clipId: params.clipId,
        referralId: params.referralId,
        statement: body,
        side: onCase.side === 'practice' ? 'sender' : 'reader',
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing()
      .returning({ id: clipStatements.id });
    if (made.length === 0) {
      const [there] = await tx
        .select({ statement: clipStatements.statement, clipId: clipStatements.clipId })
        .from(clipStatements)
        .where(
          and(eq(clipStatements.practiceId, params.practiceId), eq(clipStatements.id, params.statementId)),
        );
      if (there?.clipId !== params.clipId || !isDeepStrictEqual(there.statement, body))
        throw new AppError('ID_IN_USE', {}, { field: 'statementId' });
      return { ok: true as const };
    }
    await recordEvent(tx, actor, {
      ...where,
      groupId: clip.groupId,
      kind: 'clip.stated',
      data: { clipId: params.clipId, what: body.kind },
    });
    await touchReferral(tx, where);
    if (body.kind === 'judgement') await interpretLater(tx, params.practiceId, params.referralId);
    return { ok: true as const };
  });
}

/** Why a statement cannot be true of this clip; null when it can. */
function whyNot(said: ClipStatement, clip: ClipDescription): { field: string; message: string } | null {
  const outside = (frame: number) => frame >= clip.frameCount;
  if (said.kind === 'judgement')
    return said.judged !== 'adequate' && said.why === ''
      ? { field: 'why', message: 'why: say what is wrong with this view.' }
      : null;
  if (said.kind === 'marks')
    return [...said.endDiastole, ...said.endSystole].some(outside)
      ? { field: 'endDiastole', message: `endDiastole: the clip has only ${clip.frameCount} frames.` }
      : null;
  if (said.kind === 'outline')
    return outside(said.frame)
      ? { field: 'frame', message: `frame: the clip has only ${clip.frameCount} frames.` }
      : null;
  return said.kind === 'calibration' ? calibrationFault(said) : null;
}

/** Two points and their distance must give the pixel length that is stated, to a thousandth. */
function calibrationFault(said: Extract<ClipStatement, { kind: 'calibration' }>) {
  if (said.from === 'ruler') return null;
  if (!said.points || said.distanceMm === null)
    return { field: 'points', message: 'points: give the two points and the distance between them.' };
  const [a, b] = said.points;
  const pixels = Math.hypot(b.x - a.x, b.y - a.y);
  if (pixels < 10)
    return { field: 'points', message: 'points: the two points lie too close together to calibrate by.' };
  const cmPerPixel = said.distanceMm / 10 / pixels;
  return Math.abs(cmPerPixel - said.cmPerPixel) > 0.001 * cmPerPixel
    ? { field: 'cmPerPixel', message: 'cmPerPixel: does not follow from the two points and their distance.' }
    : null;
}
