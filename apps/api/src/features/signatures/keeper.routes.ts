import { routes, upgradeOpinionText } from '@chordae/contract';
import { keeperPageModel, NOT_RELEASED } from '@chordae/report';
import { sayDay, TO_BE_CHECKED } from '@chordae/words';
import { and, asc, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { practices } from '../accounts';
import { findReferral, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { paintKeeperPage } from './paint/paint-keeper-page';
import { PDF_POLICY } from './pdf-policy';
import { keeperReleases, signedOpinions } from './signatures.tables';

interface Place {
  readonly practiceId: string;
  readonly referralId: string;
  readonly signedId: string;
}

/** The page for the keeper: nobody outside has it until a vet of the practice let it go. */
export function registerKeeperPage(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.releaseKeeperPage, async ({ tx, params, actor }) => {
    const signed = await opinionWithPage(tx, params);
    const made = await tx
      .insert(keeperReleases)
      .values({
        practiceId: params.practiceId,
        signedId: params.signedId,
        groupId: signed.groupId,
        releasedBy: actor.memberId,
        releasedByName: actor.name,
        releasedAt: services.clock.now(),
      })
      .onConflictDoNothing()
      .returning({ at: keeperReleases.releasedAt });
    const first = made[0];
    if (first) {
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: signed.groupId,
        referralId: params.referralId,
        kind: 'keeper-page.released',
        data: { signedId: params.signedId },
      });
      await touchReferral(tx, params);
      return { at: first.at.toISOString() };
    }
    const before = await releaseOf(tx, params);
    if (!before) throw new AppError('NOT_FOUND');
    return { at: before.releasedAt.toISOString() };
  });

  serve(app, services, routes.keeperPagePdf, async ({ tx, params, onCase, reply }) => {
    const signed = await opinionWithPage(tx, params);
    const release = await releaseOf(tx, params);
    if (!release && onCase.side === 'practice') throw new AppError('NOT_READY', { what: 'keeper-page' });
    const referral = await findReferral(tx, params.practiceId, params.referralId);
    const practice = (await tx.select().from(practices).where(eq(practices.id, params.practiceId)))[0];
    if (!practice || !referral.patientSent) throw new AppError('NOT_FOUND');
    const blocks = keeperPageModel({
      patientName: referral.patientSent.name,
      text: pageText(upgradeOpinionText(signed.fields).keeperPage, release !== null),
      practice,
      released: release ? { by: release.releasedByName, on: sayDay(release.releasedAt.toISOString()) } : null,
      addedOn: release ? await addedAfter(tx, params, release.releasedAt) : null,
      demo: practice.demo,
    });
    const bytes = await paintKeeperPage(blocks, {
      title: `For the keeper of ${referral.patientSent.name}`,
      author: practice.name,
      at: release?.releasedAt ?? signed.signedAt,
      across: release ? null : NOT_RELEASED,
    });
    void reply
      .headers({
        ...PDF_POLICY,
        'content-disposition': `inline; filename="keeper-page-${signed.sha256.slice(0, 8)}.pdf"`,
        'cache-control': 'private, no-store',
      })
      .type('application/pdf')
      .send(bytes);
  });
}

/** The mark 'to be checked' has done its work once a vet has let the page go. */
function pageText(text: string, released: boolean): string {
  return released ? text.replace(TO_BE_CHECKED, '').trimStart() : text;
}

/** The signed opinion that carries a page; an addendum, or an opinion without one, has nothing to release. */
async function opinionWithPage(tx: ActorTx, at: Place) {
  const signed = (
    await tx
      .select()
      .from(signedOpinions)
      .where(
        and(
          eq(signedOpinions.practiceId, at.practiceId),
          eq(signedOpinions.referralId, at.referralId),
          eq(signedOpinions.id, at.signedId),
          eq(signedOpinions.kind, 'opinion'),
        ),
      )
  )[0];
  if (!signed || upgradeOpinionText(signed.fields).keeperPage.trim() === '') throw new AppError('NOT_FOUND');
  return signed;
}

async function releaseOf(tx: ActorTx, at: Place) {
  const rows = await tx
    .select()
    .from(keeperReleases)
    .where(and(eq(keeperReleases.practiceId, at.practiceId), eq(keeperReleases.signedId, at.signedId)));
  return rows[0] ?? null;
}

/** Day of the first addendum that came after the page was let go. */
async function addedAfter(tx: ActorTx, at: Place, released: Date): Promise<string | null> {
  const rows = await tx
    .select({ signedAt: signedOpinions.signedAt })
    .from(signedOpinions)
    .where(
      and(
        eq(signedOpinions.practiceId, at.practiceId),
        eq(signedOpinions.referralId, at.referralId),
        eq(signedOpinions.kind, 'addendum'),
      ),
    )
    .orderBy(asc(signedOpinions.signedAt));
  const later = rows.find((r) => r.signedAt > released);
  return later ? sayDay(later.signedAt.toISOString()) : null;
}
