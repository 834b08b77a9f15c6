import { createHash } from 'node:crypto';
import { type Interpretation, upgradeInterpretation, upgradeOpinionText } from '@chordae/contract';
import { type StoredDocument, upgradeDocument } from '@chordae/report';
import { and, eq } from 'drizzle-orm';
import type { Services } from '../../platform/services';
import { storageKey } from '../../platform/storage/folder-storage';
import { uuidv7 } from '../../platform/uuid';
import { recordEvent } from '../events';
import { mailPractice } from '../opinions';
import { picturesOf } from './frame-pictures';
import { letterheadOf, opinionPages, pdfTitle } from './opinion-pages';
import { paintPdf } from './paint/paint-pdf';
import { opinionPdfs, signedOpinions } from './signatures.tables';

/** Renders a signed opinion once and keeps the bytes; run again it finds them and does nothing. */
export async function renderOpinion(services: Services, practiceId: string, signedId: string): Promise<void> {
  const found = await services.db.withJob(practiceId, 'render', async (tx) => {
    const signed = (
      await tx
        .select()
        .from(signedOpinions)
        .where(and(eq(signedOpinions.practiceId, practiceId), eq(signedOpinions.id, signedId)))
    )[0];
    const done = await tx
      .select({ id: opinionPdfs.signedId })
      .from(opinionPdfs)
      .where(and(eq(opinionPdfs.practiceId, practiceId), eq(opinionPdfs.signedId, signedId)));
    if (!signed || done.length > 0) return null;
    const inputs = signed.inputs as { interpretation: Interpretation; document: StoredDocument };
    const document = upgradeDocument(inputs.document, upgradeOpinionText);
    const sender = await letterheadOf(tx, signed.groupId, document.signer.group);
    return { signed, document, sender, interpretation: upgradeInterpretation(inputs.interpretation) };
  });
  if (!found) return;
  const { signed, document } = found;
  const blocks = opinionPages(services, document, found.interpretation, found.sender, signed.sha256);
  const bytes = await paintPdf(
    blocks,
    { title: pdfTitle(document), author: signed.signerName, at: signed.signedAt },
    await picturesOf(services, practiceId, signed.referralId, blocks),
  );
  const key = storageKey('pdfs', uuidv7());
  await services.storage.putBytes(key, bytes);
  await services.db.withJob(practiceId, 'render', async (tx, actor) => {
    const made = await tx
      .insert(opinionPdfs)
      .values({
        practiceId,
        signedId,
        groupId: signed.groupId,
        storageKey: key,
        sha256: createHash('sha256').update(bytes).digest('hex'),
        sizeBytes: bytes.length,
      })
      .onConflictDoNothing()
      .returning({ id: opinionPdfs.signedId });
    if (made.length === 0) return;
    await recordEvent(tx, actor, {
      practiceId,
      groupId: signed.groupId,
      referralId: signed.referralId,
      kind: 'opinion.rendered',
      data: { signedId },
    });
    await mailPractice(tx, { practiceId, referralId: signed.referralId }, 'opinion', signedId);
  });
}
