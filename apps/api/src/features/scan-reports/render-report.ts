import { createHash } from 'node:crypto';
import { type Interpretation, upgradeInterpretation } from '@chordae/contract';
import type { OpinionDocument } from '@chordae/report';
import { and, eq } from 'drizzle-orm';
import type { Services } from '../../platform/services';
import { storageKey } from '../../platform/storage/folder-storage';
import { uuidv7 } from '../../platform/uuid';
import { findReferral, lockReferral } from '../cases';
import { recordEvent } from '../events';
import { paintReport, practiceSender } from './report-pages';
import { reportPdfs, signedReports } from './scan-reports.tables';

/** Paints a signed scan report once and keeps the bytes; run again it finds them and does nothing. */
export async function renderReport(services: Services, practiceId: string, signedId: string): Promise<void> {
  const found = await services.db.withJob(practiceId, 'render', async (tx) => {
    const signed = (
      await tx
        .select()
        .from(signedReports)
        .where(and(eq(signedReports.practiceId, practiceId), eq(signedReports.id, signedId)))
    )[0];
    const done = await tx
      .select({ id: reportPdfs.signedId })
      .from(reportPdfs)
      .where(and(eq(reportPdfs.practiceId, practiceId), eq(reportPdfs.signedId, signedId)));
    if (!signed || done.length > 0) return null;
    const referral = await findReferral(tx, practiceId, signed.referralId);
    return { signed, sender: await practiceSender(tx, practiceId, referral.wantedGroupId) };
  });
  if (!found) return;
  const { signed, sender } = found;
  const inputs = signed.inputs as { interpretation: Interpretation; document: OpinionDocument };
  const bytes = await paintReport(
    services,
    { practiceId, referralId: signed.referralId },
    {
      document: inputs.document,
      interpretation: upgradeInterpretation(inputs.interpretation),
      sender,
      hash: signed.sha256,
      at: signed.signedAt,
    },
  );
  const key = storageKey('pdfs', uuidv7());
  await services.storage.putBytes(key, bytes);
  await services.db.withJob(practiceId, 'render', async (tx, actor) => {
    // The case is held and read again: it may have been sent while the pages were painted, and the paper goes along.
    await lockReferral(tx, { practiceId, referralId: signed.referralId });
    const now = await tx
      .select({ groupId: signedReports.groupId })
      .from(signedReports)
      .where(and(eq(signedReports.practiceId, practiceId), eq(signedReports.id, signedId)));
    const groupId = now[0]?.groupId ?? null;
    const made = await tx
      .insert(reportPdfs)
      .values({
        practiceId,
        signedId,
        groupId,
        storageKey: key,
        sha256: createHash('sha256').update(bytes).digest('hex'),
        sizeBytes: bytes.length,
      })
      .onConflictDoNothing()
      .returning({ id: reportPdfs.signedId });
    if (made.length === 0) return;
    await recordEvent(tx, actor, {
      practiceId,
      groupId,
      referralId: signed.referralId,
      kind: 'report.rendered',
      data: { signedId },
    });
  });
}
