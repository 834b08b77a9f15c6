import { createHash } from 'node:crypto';
import { EMPTY_OPINION, type OpinionText, upgradeOpinionText } from '@chordae/contract';
import { canonicalText } from '@chordae/report';
import { and, eq } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import type { CaseRef } from '../../platform/http/route-server';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { confirmPassword } from '../accounts';
import { groupOf, moveReferral } from '../cases';
import { recordEvent } from '../events';
import { storeInterpretation } from '../interpretations';
import { draftRow, flagAnswersOf, readings, requireReader } from '../opinions';
import { gatherDocument } from './gather-document';
import { signedOpinions } from './signatures.tables';

type Member = Actor & { readonly memberId: string };

/** Signs the draft as it stands: text, hash, signer, time and what it rested on are frozen in one transaction. */
export async function signOpinion(
  tx: ActorTx,
  services: Services,
  actor: Member,
  onCase: CaseRef,
  ask: { base: number; draftRevision: number; inputHash: string | null; signedId: string; password: string },
): Promise<{ signedId: string; sha256: string }> {
  const repeated = await alreadySigned(tx, onCase, ask.signedId);
  if (repeated) return repeated;
  await confirmPassword(tx, actor, ask.password);
  await requireReader(tx, actor, onCase);
  const draft = await draftRow(tx, onCase.practiceId, onCase.referralId);
  if (!draft) throw new AppError('NOT_FOUND');
  if (draft.revision !== ask.draftRevision)
    throw new AppError('REVISION_STALE', { yours: ask.draftRevision, now: draft.revision });
  if (draft.fields.conclusion.trim() === '')
    throw new AppError(
      'FIELD_INVALID',
      {},
      { field: 'conclusion', message: 'conclusion: an opinion needs a conclusion before it can be signed.' },
    );
  const interpretation = await storeInterpretation(
    tx,
    actor,
    onCase.practiceId,
    onCase.referralId,
    services.clock.now(),
  );
  // Numbers that came while the reader wrote must be seen before they are signed on.
  if (ask.inputHash !== null && interpretation.inputHash !== ask.inputHash)
    throw new AppError('REVISION_STALE', { what: 'numbers' });
  const answers = await flagAnswersOf(tx, onCase.practiceId, onCase.referralId);
  const open = interpretation.flags.filter(
    (f) => f.level === 'act-now' && !answers.some((a) => a.flagKey === f.key),
  );
  if (open.length > 0)
    throw new AppError('FLAG_UNANSWERED', { flagKeys: open.map((f) => f.key) }, { field: 'flags' });
  const sha256 = await freeze(tx, services, actor, onCase, {
    kind: 'opinion',
    signedId: ask.signedId,
    text: upgradeOpinionText(draft.fields),
    addsTo: null,
  });
  await moveReferral(
    tx,
    actor,
    onCase,
    'referral.answered',
    ask.base,
    { clockStoppedAt: null },
    { signedId: ask.signedId, sha256 },
  );
  await enqueue(
    tx,
    'practice.tell',
    {
      practiceId: onCase.practiceId,
      referralId: onCase.referralId,
      what: 'outcome',
      subjectId: ask.signedId,
    },
    `outcome:${ask.signedId}`,
    14 * 24 * 3_600_000,
  );
  await tx
    .update(readings)
    .set({ endedAt: services.clock.now(), endedHow: 'signed' })
    .where(
      and(
        eq(readings.practiceId, onCase.practiceId),
        eq(readings.referralId, onCase.referralId),
        eq(readings.memberId, actor.memberId),
      ),
    );
  return { signedId: ask.signedId, sha256 };
}

/** After signing only an addendum: it names the hash of the opinion that it adds to. */
export async function signAddendum(
  tx: ActorTx,
  services: Services,
  actor: Member,
  onCase: CaseRef,
  ask: { signedId: string; text: string; password: string },
): Promise<{ signedId: string; sha256: string }> {
  groupOf(onCase);
  const repeated = await alreadySigned(tx, onCase, ask.signedId);
  if (repeated) return repeated;
  await confirmPassword(tx, actor, ask.password);
  if (onCase.state !== 'answered' && onCase.state !== 'closed')
    throw new AppError('STATE_CHANGED', { state: onCase.state });
  const opinion = (
    await tx
      .select()
      .from(signedOpinions)
      .where(
        and(
          eq(signedOpinions.practiceId, onCase.practiceId),
          eq(signedOpinions.referralId, onCase.referralId),
          eq(signedOpinions.kind, 'opinion'),
        ),
      )
  )[0];
  if (!opinion) throw new AppError('NOT_FOUND');
  const text: OpinionText = { ...EMPTY_OPINION, conclusion: ask.text };
  const sha256 = await freeze(tx, services, actor, onCase, {
    kind: 'addendum',
    signedId: ask.signedId,
    text,
    addsTo: opinion.sha256,
  });
  await recordEvent(tx, actor, {
    practiceId: onCase.practiceId,
    groupId: onCase.groupId,
    referralId: onCase.referralId,
    kind: 'addendum.signed',
    data: { signedId: ask.signedId, sha256 },
  });
  return { signedId: ask.signedId, sha256 };
}

/** A repeated request, after a lost reply, gets the first one's answer and signs nothing twice. */
async function alreadySigned(tx: ActorTx, onCase: CaseRef, signedId: string) {
  const there = (
    await tx
      .select()
      .from(signedOpinions)
      .where(and(eq(signedOpinions.practiceId, onCase.practiceId), eq(signedOpinions.id, signedId)))
  )[0];
  if (!there) return null;
  if (there.referralId !== onCase.referralId) throw new AppError('ID_IN_USE', {}, { field: 'signedId' });
  return { signedId, sha256: there.sha256 };
}

async function freeze(
  tx: ActorTx,
  services: Services,
  actor: Member,
  onCase: CaseRef,
  what: { kind: 'opinion' | 'addendum'; signedId: string; text: OpinionText; addsTo: string | null },
): Promise<string> {
  const groupId = groupOf(onCase);
  const { practiceId, referralId } = onCase;
  const signedAt = services.clock.now();
  const interpretation = await storeInterpretation(tx, actor, practiceId, referralId, signedAt);
  const document = await gatherDocument(tx, onCase, {
    kind: what.kind,
    text: what.text,
    addsTo: what.addsTo,
    signerName: actor.name,
    at: signedAt,
    interpretation,
  });
  const canonical = canonicalText(document);
  const sha256 = createHash('sha256').update(canonical, 'utf8').digest('hex');
  await tx.insert(signedOpinions).values({
    practiceId,
    id: what.signedId,
    groupId,
    referralId,
    kind: what.kind,
    fields: what.text,
    canonicalText: canonical,
    sha256,
    signerId: actor.memberId,
    signerName: actor.name,
    signedAt,
    engineVersion: interpretation.engine.version,
    inputs: { schema: 1, interpretation, document },
  });
  await enqueue(tx, 'opinion.render', { practiceId, signedId: what.signedId }, `render:${what.signedId}`);
  return sha256;
}
