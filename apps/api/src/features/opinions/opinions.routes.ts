import {
  EMPTY_OPINION,
  isWithReaders,
  type OpinionText,
  routes,
  upgradeOpinionText,
} from '@chordae/contract';
import { and, eq, isNull } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { type CaseRef, serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { uuidv7 } from '../../platform/uuid';
import { groupOf, mergePatch, moveReferral, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { endReading } from './hand-over.routes';
import { mailPractice } from './notices';
import { requireReader } from './opinion-access';
import { draftRow, interimsOf, openReading } from './opinions.repository';
import { flagAnswers, interimAnswers, opinionDrafts, readings, rescanWishes } from './opinions.tables';

type Member = Actor & { readonly memberId: string };

export function registerOpinions(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.takeReferral, async ({ tx, params, body, actor, onCase }) => {
    const groupId = groupOf(onCase);
    if (onCase.state === 'reading' || onCase.state === 'images-wanted') {
      const now = await openReading(tx, params.practiceId, params.referralId);
      throw new AppError('ALREADY_TAKEN', { by: now?.memberName ?? '' });
    }
    const moved = await moveReferral(tx, actor, params, 'referral.taken', body.base, {
      readerId: actor.memberId,
      readerName: actor.name,
      handedTo: null,
      handedToName: null,
      handedByName: null,
      handOverReason: null,
    });
    await tx.insert(readings).values({
      practiceId: params.practiceId,
      id: uuidv7(),
      groupId,
      referralId: params.referralId,
      memberId: actor.memberId,
      memberName: actor.name,
    });
    await tx
      .insert(opinionDrafts)
      .values({
        practiceId: params.practiceId,
        id: uuidv7(),
        groupId,
        referralId: params.referralId,
        fields: EMPTY_OPINION,
        updatedBy: actor.memberId,
      })
      .onConflictDoNothing();
    return { revision: moved.revision };
  });

  serve(app, services, routes.putBack, async ({ tx, params, body, actor, onCase }) => {
    groupOf(onCase);
    const moved = await moveReferral(
      tx,
      actor,
      params,
      'referral.put-back',
      body.base,
      { readerId: null, readerName: null, clockStoppedAt: null },
      { reason: body.reason },
    );
    await endReading(tx, services, params, 'put-back');
    return { revision: moved.revision };
  });

  serve(app, services, routes.patchOpinion, async ({ tx, params, body, actor, onCase }) => {
    await requireReader(tx, actor, onCase);
    const key = and(
      eq(opinionDrafts.practiceId, params.practiceId),
      eq(opinionDrafts.referralId, params.referralId),
    );
    await tx.select({ id: opinionDrafts.id }).from(opinionDrafts).where(key).for('update');
    const row = await draftRow(tx, params.practiceId, params.referralId);
    if (!row) throw new AppError('NOT_FOUND');
    const merged = mergePatch(
      {
        revision: row.revision,
        fieldRevisions: row.fieldRevisions,
        values: upgradeOpinionText(row.fields),
      },
      body,
      actor.name,
    );
    const applied = Object.keys(merged.accepted);
    if (applied.length > 0) {
      const fields = { ...row.fields, ...merged.accepted } as OpinionText;
      await tx
        .update(opinionDrafts)
        .set({
          fields,
          revision: merged.revision,
          fieldRevisions: merged.fieldRevisions,
          updatedBy: actor.memberId,
          updatedAt: services.clock.now(),
        })
        .where(key);
    }
    return { revision: merged.revision, applied, conflicts: merged.conflicts, stands: merged.stands };
  });

  serve(app, services, routes.putFlagAnswer, async ({ tx, params, body, actor, onCase }) => {
    await requireReader(tx, actor, onCase);
    if (body.answer === 'set-aside' && body.reason === '')
      throw new AppError(
        'FIELD_INVALID',
        {},
        { field: 'reason', message: 'reason: say why this flag is set aside.' },
      );
    const made = await tx
      .insert(flagAnswers)
      .values({
        practiceId: params.practiceId,
        id: params.answerId,
        groupId: groupOf(onCase),
        referralId: params.referralId,
        ...body,
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing()
      .returning({ id: flagAnswers.id });
    if (made.length > 0)
      await note(tx, actor, onCase, 'flag.answered', {
        flagKey: body.flagKey,
        answer: body.answer,
        reason: body.reason,
      });
    return { ok: true as const };
  });

  serve(app, services, routes.putInterim, async ({ tx, params, body, actor, onCase }) => {
    const groupId = groupOf(onCase);
    if (!isWithReaders(onCase.state)) throw new AppError('STATE_CHANGED', { state: onCase.state });
    const made = await tx
      .insert(interimAnswers)
      .values({
        practiceId: params.practiceId,
        id: params.interimId,
        groupId,
        referralId: params.referralId,
        text: body.text,
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing()
      .returning({ id: interimAnswers.id });
    if (made.length > 0) {
      await note(tx, actor, onCase, 'interim.sent', { interimId: params.interimId });
      await mailPractice(tx, onCase, 'interim', params.interimId);
    } else {
      // The same id again is a repeated request only when it says the same: other words must not be lost in silence.
      const there = (await interimsOf(tx, params.practiceId, params.referralId)).find(
        (i) => i.id === params.interimId,
      );
      if (there?.text !== body.text) throw new AppError('ID_IN_USE', {}, { field: 'interimId' });
    }
    return { ok: true as const };
  });

  serve(app, services, routes.readBack, async ({ tx, params, actor }) => {
    const rows = await tx
      .update(interimAnswers)
      .set({ readBackAt: services.clock.now(), readBackBy: actor.name })
      .where(
        and(
          eq(interimAnswers.practiceId, params.practiceId),
          eq(interimAnswers.referralId, params.referralId),
          eq(interimAnswers.id, params.interimId),
          isNull(interimAnswers.readBackAt),
        ),
      )
      .returning({ at: interimAnswers.readBackAt, groupId: interimAnswers.groupId });
    const first = rows[0];
    if (first) {
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: first.groupId,
        referralId: params.referralId,
        kind: 'interim.read-back',
        data: { interimId: params.interimId },
      });
      return { at: (first.at ?? services.clock.now()).toISOString() };
    }
    const there = (
      await tx
        .select({ at: interimAnswers.readBackAt })
        .from(interimAnswers)
        .where(and(eq(interimAnswers.practiceId, params.practiceId), eq(interimAnswers.id, params.interimId)))
    )[0];
    if (!there?.at) throw new AppError('NOT_FOUND');
    return { at: there.at.toISOString() };
  });

  serve(app, services, routes.putWish, async ({ tx, params, body, actor, onCase }) => {
    await requireReader(tx, actor, onCase);
    if (body.views.length === 0 && body.text === '')
      throw new AppError(
        'FIELD_INVALID',
        {},
        { field: 'views', message: 'views: name at least one view, or say in words what is wanted.' },
      );
    const there = await tx
      .select({ id: rescanWishes.id })
      .from(rescanWishes)
      .where(and(eq(rescanWishes.practiceId, params.practiceId), eq(rescanWishes.id, params.wishId)));
    if (there.length > 0) return { revision: onCase.revision };
    await tx.insert(rescanWishes).values({
      practiceId: params.practiceId,
      id: params.wishId,
      groupId: groupOf(onCase),
      referralId: params.referralId,
      views: body.views,
      text: body.text,
      madeBy: actor.memberId,
      madeByName: actor.name,
    });
    const moved = await moveReferral(
      tx,
      actor,
      params,
      'referral.images-wanted',
      body.base,
      { clockStoppedAt: services.clock.now() },
      { wishId: params.wishId, views: body.views.map((v) => v.view) },
    );
    await mailPractice(tx, onCase, 'wish', params.wishId);
    return { revision: moved.revision };
  });
}

async function note(
  tx: ActorTx,
  actor: Member,
  onCase: CaseRef,
  kind: string,
  data: Record<string, unknown>,
): Promise<void> {
  const where = { practiceId: onCase.practiceId, referralId: onCase.referralId };
  await recordEvent(tx, actor, { ...where, groupId: onCase.groupId, kind, data });
  await touchReferral(tx, where);
}
