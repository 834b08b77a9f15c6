import { type MailFacts, mailText } from '@chordae/words';
import { and, eq, sql } from 'drizzle-orm';
import { publicAddress } from '../../platform/config/config';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { uuidv7 } from '../../platform/uuid';
import { findAgreement } from '../accounts';
import { findReferral } from '../cases';
import { mails } from './deliveries.tables';

/** Writes one mail per vet and sonographer of the practice; the same news is written once. */
export async function tellPractice(
  services: Services,
  ask: { practiceId: string; referralId: string; what: MailFacts['what']; subjectId: string },
): Promise<void> {
  const { practiceId, referralId } = ask;
  await services.db.withJob(practiceId, 'mail', async (tx) => {
    const referral = await findReferral(tx, practiceId, referralId);
    if (!referral.groupId) return;
    const agreement = await findAgreement(tx, practiceId, referral.groupId);
    const people = await tx.execute<{ name: string; email: string }>(
      sql`select name, email from practice_addresses(${practiceId})`,
    );
    const base = publicAddress(services.config);
    const text = mailText({
      what: ask.what,
      patientName: referral.patientSent?.name ?? '',
      referralNumber: referral.number,
      groupName: agreement.groupName,
      groupPhone: agreement.groupPhone,
      link: `${base}/p/${practiceId}/r/${referralId}`,
      signerName: referral.readerName ?? agreement.groupName,
    });
    for (const person of people) {
      await tx
        .insert(mails)
        .values({
          practiceId,
          id: uuidv7(),
          referralId,
          reason: `${ask.what}:${ask.subjectId}`,
          toEmail: person.email,
          ...text,
        })
        .onConflictDoNothing();
    }
    await enqueue(tx, 'mail.send', { practiceId }, `mail:${practiceId}`);
  });
}

/** Sends what waits. Without a mail server nothing is tried: the mails stand in the outbox page. */
export async function sendMails(
  services: Services,
  practiceId: string,
  send: MailSender | null,
): Promise<number> {
  if (!send) return 0;
  const waiting = await services.db.withJob(practiceId, 'mail', (tx) =>
    tx
      .select()
      .from(mails)
      .where(and(eq(mails.practiceId, practiceId), eq(mails.state, 'waiting')))
      .limit(100),
  );
  let failed = 0;
  for (const mail of waiting) {
    const error = await send({ to: mail.toEmail, subject: mail.subject, text: mail.body }).then(
      () => null,
      (e: unknown) => (e instanceof Error ? e.message : String(e)),
    );
    const attempts = mail.attempts + 1;
    const state = error === null ? 'sent' : attempts >= 8 ? 'failed' : 'waiting';
    await services.db.withJob(practiceId, 'mail', (tx) =>
      tx
        .update(mails)
        .set({ state, attempts, lastError: error, sentAt: error === null ? services.clock.now() : null })
        .where(and(eq(mails.practiceId, practiceId), eq(mails.id, mail.id))),
    );
    if (error !== null) failed += 1;
  }
  // Throwing makes the job queue try again later, with growing pauses.
  if (failed > 0) throw new Error(`${failed} mails could not be handed to the mail server`);
  return waiting.length;
}

/** Mails written before a mail server was set, or given up by their job, are taken up again when a worker starts. */
export async function queueWaitingMails(services: Services): Promise<number> {
  const waiting = await services.db.gate<{ id: string }[]>`select * from practices_with_mail() as id`;
  for (const { id: practiceId } of waiting) {
    await services.db.withJob(practiceId, 'mail', (tx) =>
      enqueue(tx, 'mail.send', { practiceId }, `mail:${practiceId}`),
    );
  }
  return waiting.length;
}

export type MailSender = (mail: { to: string; subject: string; text: string }) => Promise<void>;
