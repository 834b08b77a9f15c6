import { routes, type SignedOpinion, upgradeOpinionText } from '@chordae/contract';
import { and, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { registerKeeperPage } from './keeper.routes';
import { PDF_POLICY } from './pdf-policy';
import { registerPreview } from './preview.routes';
import { signAddendum, signOpinion } from './sign.service';
import { keeperReleases, opinionPdfs, signedOpinions } from './signatures.tables';
import { registerVerify } from './verify.routes';

export function registerSignatures(app: FastifyInstance, services: Services): void {
  registerVerify(app, services);
  registerPreview(app, services);
  registerKeeperPage(app, services);
  serve(app, services, routes.signOpinion, async ({ tx, body, actor, onCase }) =>
    signOpinion(tx, services, actor, onCase, body),
  );
  serve(app, services, routes.signAddendum, async ({ tx, body, actor, onCase }) =>
    signAddendum(tx, services, actor, onCase, body),
  );

  serve(app, services, routes.opinionPdf, async ({ tx, params, reply }) => {
    const signed = (
      await tx
        .select()
        .from(signedOpinions)
        .where(
          and(
            eq(signedOpinions.practiceId, params.practiceId),
            eq(signedOpinions.id, params.signedId),
            eq(signedOpinions.referralId, params.referralId),
          ),
        )
    )[0];
    if (!signed) throw new AppError('NOT_FOUND');
    const pdf = (
      await tx
        .select()
        .from(opinionPdfs)
        .where(and(eq(opinionPdfs.practiceId, params.practiceId), eq(opinionPdfs.signedId, params.signedId)))
    )[0];
    if (!pdf) throw new AppError('NOT_READY', { what: 'pdf' });
    const name = `opinion-${signed.kind === 'addendum' ? 'addendum-' : ''}${signed.sha256.slice(0, 8)}.pdf`;
    void reply.headers({
      'content-length': pdf.sizeBytes,
      'content-disposition': `attachment; filename="${name}"`,
      'cache-control': 'private, max-age=86400, immutable',
      etag: `"${pdf.sha256}"`,
      ...PDF_POLICY,
    });
    void reply.type('application/pdf').send(services.storage.read(pdf.storageKey));
  });
}

export async function signedOpinionsOf(
  tx: ActorTx,
  practiceId: string,
  referralId: string,
): Promise<SignedOpinion[]> {
  const rows = await tx
    .select({ s: signedOpinions, pdf: opinionPdfs.sha256, release: keeperReleases })
    .from(signedOpinions)
    .leftJoin(
      opinionPdfs,
      and(eq(opinionPdfs.practiceId, signedOpinions.practiceId), eq(opinionPdfs.signedId, signedOpinions.id)),
    )
    .leftJoin(
      keeperReleases,
      and(
        eq(keeperReleases.practiceId, signedOpinions.practiceId),
        eq(keeperReleases.signedId, signedOpinions.id),
      ),
    )
    .where(and(eq(signedOpinions.practiceId, practiceId), eq(signedOpinions.referralId, referralId)))
    .orderBy(signedOpinions.signedAt);
  return rows.map(({ s, pdf, release }) => ({
    id: s.id,
    kind: s.kind,
    text: upgradeOpinionText(s.fields),
    sha256: s.sha256,
    signerName: s.signerName,
    signedAt: s.signedAt.toISOString(),
    engineVersion: s.engineVersion,
    pdfSha256: pdf,
    keeperReleasedAt: release?.releasedAt.toISOString() ?? null,
    keeperReleasedBy: release?.releasedByName ?? null,
  }));
}
