import { EMPTY_REPORT, type ReportMessage, routes, upgradeReportText } from '@chordae/contract';
import { and, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { rolesIn, serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { lockReferral, mergePatch, moveReferral, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { tellOfReport } from './notices';
import { registerReportPapers } from './report-papers.routes';
import { type ReportPlace, reportDraftRow, reportThreadOf } from './scan-reports.repository';
import { reportDrafts, reportMessages } from './scan-reports.tables';
import { reportOf, signReport, signReportAddendum } from './sign-report.service';

type Member = Actor & { readonly memberId: string };

/** A sonographer's own reports: written, signed, read, asked back about, filed. */
export function registerScanReports(app: FastifyInstance, services: Services): void {
  registerReportPapers(app, services);

  serve(app, services, routes.patchReport, async ({ tx, params, body, actor }) => {
    const referral = await lockReferral(tx, params);
    if (referral.state !== 'draft') throw new AppError('STATE_CHANGED', { state: referral.state });
    const row = (await reportDraftRow(tx, params)) ?? (await beginDraft(tx, actor, params, body.draftId));
    const merged = mergePatch(
      { revision: row.revision, fieldRevisions: row.fieldRevisions, values: upgradeReportText(row.fields) },
      { base: body.base, bases: body.bases, fields: body.fields },
      actor.name,
    );
    const applied = Object.keys(merged.accepted);
    if (applied.length > 0)
      await tx
        .update(reportDrafts)
        .set({
          fields: { ...row.fields, ...merged.accepted },
          revision: merged.revision,
          fieldRevisions: merged.fieldRevisions,
          updatedBy: actor.memberId,
          updatedAt: services.clock.now(),
        })
        .where(and(eq(reportDrafts.practiceId, row.practiceId), eq(reportDrafts.id, row.id)));
    return { revision: merged.revision, applied, conflicts: merged.conflicts, stands: merged.stands };
  });

  serve(app, services, routes.signReport, async ({ tx, params, body, actor }) =>
    signReport(tx, services, actor, params, body),
  );
  serve(app, services, routes.signReportAddendum, async ({ tx, params, body, actor }) =>
    signReportAddendum(tx, services, actor, params, body),
  );

  serve(app, services, routes.fileReport, async ({ tx, params, body, actor }) => {
    const row = await lockReferral(tx, params);
    // Filing again is the same answer once more, not an error.
    if (row.state === 'filed') return { revision: row.revision };
    const { revision } = await moveReferral(tx, actor, params, 'report.filed', body.base);
    return { revision };
  });

  serve(app, services, routes.putReportMessage, async ({ tx, params, body, actor }) => {
    const row = await lockReferral(tx, params);
    const report = await reportOf(tx, params);
    if (!report)
      throw new AppError(
        'STATE_CHANGED',
        { state: row.state },
        { message: 'There is no signed scan report here to ask about.' },
      );
    const side = sideOf(actor, params.practiceId, report.signerId);
    const made = await tx
      .insert(reportMessages)
      .values({
        practiceId: params.practiceId,
        id: params.messageId,
        referralId: params.referralId,
        side,
        text: body.text,
        madeBy: actor.memberId,
        madeByName: actor.name,
      })
      .onConflictDoNothing()
      .returning({ id: reportMessages.id });
    const stored = await storedMessage(tx, params, params.messageId, body.text);
    if (made.length > 0) {
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        // Never the reading group's: this is between the practice and its sonographer.
        groupId: null,
        referralId: params.referralId,
        kind: side === 'practice' ? 'report.asked' : 'report.answered',
        data: { messageId: params.messageId },
      });
      await touchReferral(tx, params);
      await tellOfReport(tx, params, {
        what: side === 'practice' ? 'report-question' : 'report-answer',
        subjectId: params.messageId,
        by: actor,
        toId: side === 'practice' ? report.signerId : null,
      });
    }
    return stored;
  });
}

/** The first patch makes the draft, under the id that the device made. */
async function beginDraft(tx: ActorTx, actor: Member, at: ReportPlace, draftId: string) {
  const made = await tx
    .insert(reportDrafts)
    .values({
      practiceId: at.practiceId,
      id: draftId,
      referralId: at.referralId,
      fields: EMPTY_REPORT,
      updatedBy: actor.memberId,
    })
    .onConflictDoNothing()
    .returning();
  const row = made[0];
  // The case has none and the id is taken: it is another case's.
  if (!row) throw new AppError('ID_IN_USE', {}, { field: 'draftId' });
  await recordEvent(tx, actor, {
    practiceId: at.practiceId,
    groupId: null,
    referralId: at.referralId,
    kind: 'report.begun',
  });
  return row;
}

/** Who signed speaks as the sonographer; so does a sonographer who is no vet of the practice. Everybody else asks for it. */
function sideOf(actor: Member, practiceId: string, signerId: string): 'practice' | 'sonographer' {
  if (actor.memberId === signerId) return 'sonographer';
  const roles = rolesIn(actor, practiceId);
  return roles.includes('sonographer') && !roles.includes('referring-vet') && !roles.includes('manager')
    ? 'sonographer'
    : 'practice';
}

/** The message as it stands; the same id with other words, or in another case, is refused. */
async function storedMessage(
  tx: ActorTx,
  at: ReportPlace,
  messageId: string,
  text: string,
): Promise<ReportMessage> {
  const there = (await reportThreadOf(tx, at)).find((m) => m.id === messageId);
  if (!there || there.text !== text) throw new AppError('ID_IN_USE', {}, { field: 'messageId' });
  return there;
}
