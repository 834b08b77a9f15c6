import { reportMail } from '@chordae/words';
import { sql } from 'drizzle-orm';
import { publicAddress } from '../../platform/config/config';
import { enqueue, type JobPayloads } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { uuidv7 } from '../../platform/uuid';
import { practiceName } from '../accounts';
import { findReferral, patientViewOf } from '../cases';
import { mails } from './deliveries.tables';

/** News of a scan report: to the one it concerns, or to everybody of the practice but who caused it. Never to a group. */
export async function tellReport(services: Services, ask: JobPayloads['report.tell']): Promise<void> {
  const { practiceId, referralId } = ask;
  await services.db.withJob(practiceId, 'mail', async (tx) => {
    const referral = await findReferral(tx, practiceId, referralId);
    const patient = await patientViewOf(tx, practiceId, referral.patientId, '');
    const people = await tx.execute<{ member_id: string; email: string }>(
      sql`select member_id, email from practice_addresses(${practiceId})`,
    );
    const others = people.filter((p) => p.member_id !== ask.byId);
    // Who signed may have left the practice: then everybody else hears that something was asked.
    const wanted = others.filter((p) => p.member_id === ask.toId);
    const text = reportMail({
      what: ask.what,
      patientName: patient.name,
      number: referral.number,
      practiceName: await practiceName(tx, practiceId),
      byName: ask.byName,
      link: `${publicAddress(services.config)}/p/${practiceId}/r/${referralId}/report`,
    });
    for (const person of wanted.length > 0 ? wanted : others)
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
    await enqueue(tx, 'mail.send', { practiceId }, `mail:${practiceId}`);
  });
}
