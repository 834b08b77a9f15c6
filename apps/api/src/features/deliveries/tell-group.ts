import { questionMail } from '@chordae/words';
import { sql } from 'drizzle-orm';
import { publicAddress } from '../../platform/config/config';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { uuidv7 } from '../../platform/uuid';
import { findAgreement } from '../accounts';
import { findReferral } from '../cases';
import { mails } from './deliveries.tables';

/** Mails of this kind go to the reading group: the practice's outbox does not show their addresses. */
export const TO_GROUP = 'group:';

/** A practice asked something: its reader hears of it, or the whole group where nobody reads. */
export async function tellGroup(
  services: Services,
  ask: { practiceId: string; referralId: string; messageId: string },
): Promise<void> {
  const { practiceId, referralId } = ask;
  await services.db.withJob(practiceId, 'mail', async (tx) => {
    const referral = await findReferral(tx, practiceId, referralId);
    if (!referral.groupId) return;
    const agreement = await findAgreement(tx, practiceId, referral.groupId);
    const people = await tx.execute<{ member_id: string; email: string }>(
      sql`select member_id, email from partner_group_addresses(${referral.groupId})`,
    );
    const reader = people.filter((p) => p.member_id === referral.readerId);
    const base = publicAddress(services.config);
    const text = questionMail({
      patientName: referral.patientSent?.name ?? '',
      referralNumber: referral.number,
      practiceName: agreement.practiceName,
      practicePhone: agreement.practicePhone,
      link: `${base}/desk/${practiceId}/${referralId}`,
    });
    for (const person of reader.length > 0 ? reader : people)
      await tx
        .insert(mails)
        .values({
          practiceId,
          id: uuidv7(),
          referralId,
          reason: `${TO_GROUP}question:${ask.messageId}`,
          toEmail: person.email,
          ...text,
        })
        .onConflictDoNothing();
    await enqueue(tx, 'mail.send', { practiceId }, `mail:${practiceId}`);
  });
}
