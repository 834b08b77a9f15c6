import { type Interpretation, routes, upgradeInterpretation, upgradeReportText } from '@chordae/contract';
import type { OpinionDocument } from '@chordae/report';
import { and, eq } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { findReferral } from '../cases';
import { computeCase } from '../interpretations';
import { PDF_POLICY } from '../signatures';
import { gatherReport } from './gather-report';
import { paintReport, practiceSender, reportPages } from './report-pages';
import { reportDraftRow } from './scan-reports.repository';
import { reportPdfs, signedReports } from './scan-reports.tables';

/** The paper: before signing as it would be now, afterwards the bytes that are kept. */
export function registerReportPapers(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.previewReport, async ({ tx, params, actor, request, reply }) => {
    const referral = await findReferral(tx, params.practiceId, params.referralId);
    if (referral.state !== 'draft') throw new AppError('STATE_CHANGED', { state: referral.state });
    const draft = await reportDraftRow(tx, params);
    const now = services.clock.now();
    const { result } = await computeCase(tx, params.practiceId, params.referralId);
    const document = await gatherReport(tx, params, {
      kind: 'scan-report',
      text: upgradeReportText(draft?.fields ?? {}),
      addsTo: null,
      signer: actor,
      signedAt: now,
      deviceSignedAt: null,
      interpretation: result,
    });
    const sender = await practiceSender(tx, params.practiceId, referral.wantedGroupId);
    const paper = { document, interpretation: result, sender, hash: null, at: now };
    void reply.header('cache-control', 'private, no-store').header('vary', 'accept');
    if ((request.headers.accept ?? '').startsWith('application/json')) {
      void reply.type('application/json').send(JSON.stringify({ blocks: reportPages(services, paper) }));
      return;
    }
    const bytes = await paintReport(services, params, paper);
    void reply
      .headers({ ...PDF_POLICY, 'content-disposition': 'inline; filename="scan-report-not-signed.pdf"' })
      .type('application/pdf')
      .send(bytes);
  });

  serve(app, services, routes.reportPdf, async ({ tx, params, request, reply }) => {
    const rows = await tx
      .select({
        kind: signedReports.kind,
        sha256: signedReports.sha256,
        inputs: signedReports.inputs,
        pdf: reportPdfs,
      })
      .from(signedReports)
      .leftJoin(
        reportPdfs,
        and(eq(reportPdfs.practiceId, signedReports.practiceId), eq(reportPdfs.signedId, signedReports.id)),
      )
      .where(
        and(
          eq(signedReports.practiceId, params.practiceId),
          eq(signedReports.id, params.signedId),
          eq(signedReports.referralId, params.referralId),
        ),
      );
    const found = rows[0];
    if (!found) throw new AppError('NOT_FOUND');
    void reply.header('vary', 'accept');
    if ((request.headers.accept ?? '').startsWith('application/json')) {
      const inputs = found.inputs as { interpretation: Interpretation; document: OpinionDocument };
      const blocks = reportPages(services, {
        document: inputs.document,
        interpretation: upgradeInterpretation(inputs.interpretation),
        sender: await practiceSender(tx, params.practiceId, null),
        hash: found.sha256,
      });
      void reply
        .header('cache-control', 'private, no-store')
        .type('application/json')
        .send(JSON.stringify({ blocks }));
      return;
    }
    if (!found.pdf) throw new AppError('NOT_READY', { what: 'pdf' });
    const name = `scan-report-${found.kind === 'addendum' ? 'addendum-' : ''}${found.sha256.slice(0, 8)}.pdf`;
    void reply.headers({
      'content-length': found.pdf.sizeBytes,
      'content-disposition': `attachment; filename="${name}"`,
      'cache-control': 'private, max-age=86400, immutable',
      etag: `"${found.pdf.sha256}"`,
      ...PDF_POLICY,
    });
    void reply.type('application/pdf').send(services.storage.read(found.pdf.storageKey));
  });
}
