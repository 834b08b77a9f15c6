import { emergencyMail } from '@chordae/words';
import { eq, sql } from 'drizzle-orm';
import { publicAddress } from '../../platform/config/config';
import type { ActorTx } from '../../platform/db/database';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { uuidv7 } from '../../platform/uuid';
import { findAgreement } from '../accounts';
import { findReferral, type ReferralRowDb, referrals } from '../cases';
import { recordEvent } from '../events';
import { mails } from './deliveries.tables';
import { TO_GROUP } from './tell-group';

/** Rounds after which nobody is told again: the practice has the telephone and the emergency contact by then. */
const ROUNDS = 4;

/**
 * An emergency that nobody has taken passes on: everybody of the reading group is told by mail, and the practice hears that
 * nobody reads yet, with the telephone and the nearest emergency contact. Runs again until somebody takes it.
 */
export async function watchEmergency(
  services: Services,
  ask: { practiceId: string; referralId: string; round: number },
): Promise<void> {
  await services.db.withJob(ask.practiceId, 'emergency', async (tx, actor) => {
    const referral = await findReferral(tx, ask.practiceId, ask.referralId);
    if (referral.state !== 'sent' || referral.urgency !== 'emergency' || !referral.groupId) return;
    const answered = await tx.execute(
      sql`select 1 from interim_answers where practice_id = ${ask.practiceId} and referral_id = ${ask.referralId} limit 1`,
    );
    if (answered.length > 0) return;
    const now = services.clock.now();
    const minutes = Math.round((now.getTime() - (referral.sentAt ?? now).getTime()) / 60_000);
    await recordEvent(tx, actor, {
      practiceId: ask.practiceId,
      groupId: referral.groupId,
      referralId: ask.referralId,
      kind: 'emergency.not-taken',
      data: { minutes, round: ask.round },
    });
    await tx
      .update(referrals)
      .set({ updatedAt: sql`app_now()` as never })
      .where(eq(referrals.id, ask.referralId));
    await writeMails(tx, services, referral, { ...ask, groupId: referral.groupId, minutes });
    if (ask.round < ROUNDS)
      await enqueue(
        tx,
        'emergency.watch',
        { ...ask, round: ask.round + 1 },
        `emergency:${ask.referralId}:${ask.round + 1}`,
        15 * 60_000,
      );
  });
}

async function writeMails(
  tx: ActorTx,
  services: Services,
  referral: ReferralRowDb,
  ask: { practiceId: string; referralId: string; round: number; groupId: string; minutes: number },
): Promise<void> {
  const agreement = await findAgreement(tx, ask.practiceId, ask.groupId);
  const base = publicAddress(services.config);
  const readers = await tx.execute<{ email: string }>(
    sql`select email from partner_group_addresses(${ask.groupId})`,
  );
  const vets = await tx.execute<{ email: string }>(
    sql`select email from practice_addresses(${ask.practiceId})`,
  );
  const about = {
    patientName: referral.patientSent?.name ?? '',
    referralNumber: referral.number,
    minutes: ask.minutes,
    practiceName: agreement.practiceName,
    practicePhone: agreement.practicePhone,
    groupName: agreement.groupName,
    groupPhone: agreement.groupPhone,
    emergencyContact: agreement.emergencyContact,
  };
  const write = async (to: 'group' | 'practice', email: string, link: string) =>
    tx
      .insert(mails)
      .values({
        practiceId: ask.practiceId,
        id: uuidv7(),
        referralId: ask.referralId,
        reason: `${to === 'group' ? TO_GROUP : ''}emergency:${ask.referralId}:${ask.round}`,
        toEmail: email,
        ...emergencyMail({ ...about, to, link }),
      })
      .onConflictDoNothing();
  for (const { email } of readers)
    await write('group', email, `${base}/desk/${ask.practiceId}/${ask.referralId}`);
  for (const { email } of vets)
    await write('practice', email, `${base}/p/${ask.practiceId}/r/${ask.referralId}`);
  await enqueue(tx, 'mail.send', { practiceId: ask.practiceId }, `mail:${ask.practiceId}`);
}
