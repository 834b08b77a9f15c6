import { createHash } from 'node:crypto';
import type { Interpretation } from '@chordae/contract';
import { type OpinionDocument, pageModel, printedIndices } from '@chordae/report';
import { and, eq } from 'drizzle-orm';
import type { Services } from '../../platform/services';
import { storageKey } from '../../platform/storage/folder-storage';
import { uuidv7 } from '../../platform/uuid';
import { readingGroups } from '../accounts';
import { recordEvent } from '../events';
import { mailPractice } from '../opinions';
import { pageWords, sayFlagsFor, sourcesOf } from './page-words';
import { paintPdf } from './paint-pdf';
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
    const group = (await tx.select().from(readingGroups).where(eq(readingGroups.id, signed.groupId)))[0];
    return { signed, group };
  });
  if (!found) return;
  const { signed, group } = found;
  const { interpretation, document } = signed.inputs as {
    interpretation: Interpretation;
    document: OpinionDocument;
  };
  const head = group?.letterhead as { lines?: string[] } | undefined;
  const blocks = pageModel(
    {
      document,
      hash: signed.sha256,
      signed: true,
      indices: printedIndices(interpretation).slice(0, 14),
      letterhead: {
        name: group?.name ?? document.signer.group,
        lines: head?.lines ?? [],
        demo: group?.demo ?? false,
      },
      flagSentences: sayFlagsFor(document, interpretation, group?.phone ?? null),
      sources: sourcesOf(interpretation),
      checks: pageWords.checks(interpretation),
    },
    pageWords,
  );
  const bytes = await paintPdf(blocks, {
    title: `${document.kind === 'addendum' ? 'Addendum' : 'Cardiology opinion'}: ${document.patient.name}`,
    author: signed.signerName,
    at: signed.signedAt,
  });
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
