import { routes, upgradeOpinionText } from '@chordae/contract';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { computeCase } from '../interpretations';
import { draftRow, requireReader } from '../opinions';
import { picturesOf } from './frame-pictures';
import { gatherDocument } from './gather-document';
import { letterheadOf, opinionPages, pdfTitle } from './opinion-pages';
import { paintPdf } from './paint/paint-pdf';
import { PDF_POLICY } from './pdf-policy';

/**
 * The draft as it would be signed now, from the same page model as the paper that is kept: as PDF, or, asked for as JSON,
 * as the blocks that a page draws itself.
 */
export function registerPreview(app: FastifyInstance, services: Services): void {
  serve(app, services, routes.previewPdf, async ({ tx, params, actor, onCase, request, reply }) => {
    const draft = await draftRow(tx, params.practiceId, params.referralId);
    if (!draft) throw new AppError('NOT_FOUND');
    await requireReader(tx, actor, onCase);
    const now = services.clock.now();
    const { result } = await computeCase(tx, params.practiceId, params.referralId);
    const document = await gatherDocument(tx, onCase, {
      kind: 'opinion',
      text: upgradeOpinionText(draft.fields),
      addsTo: null,
      signerName: actor.name,
      at: now,
      interpretation: result,
    });
    const sender = await letterheadOf(tx, draft.groupId, document.signer.group);
    const blocks = opinionPages(services, document, result, sender, null);
    void reply.header('cache-control', 'private, no-store').header('vary', 'accept');
    if ((request.headers.accept ?? '').startsWith('application/json')) {
      void reply.type('application/json').send(JSON.stringify({ blocks }));
      return;
    }
    const pictures = await picturesOf(services, params.practiceId, params.referralId, blocks);
    const bytes = await paintPdf(
      blocks,
      { title: pdfTitle(document), author: actor.name, at: now },
      pictures,
    );
    void reply
      .headers({ ...PDF_POLICY, 'content-disposition': 'inline; filename="draft-not-signed.pdf"' })
      .type('application/pdf')
      .send(bytes);
  });
}
