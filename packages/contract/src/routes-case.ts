import { z } from 'zod';
import { message } from './after-answer';
import { assessment } from './assessment';
import { caseView } from './case-view';
import { earlierScan } from './change';
import { clipStatement } from './clip-statement';
import { id } from './ids';
import { measurementEntry, observationEntry } from './measurement';
import { route } from './route';
import { onReferral, practiceAll, readers, vets } from './route-params';

/** One case as either side sees it: numbers, findings, clips, messages, papers. */
export const caseRoutes = {
  getCase: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId',
    access: { practice: practiceAll, group: readers },
    params: onReferral,
    reply: caseView,
    summary: 'One referral as its viewer may see it',
  }),
  earlierScans: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/earlier',
    access: { practice: practiceAll, group: readers },
    params: onReferral,
    reply: z.array(earlierScan),
    summary: 'Earlier scans of the same patient that the viewer may see, oldest first',
  }),
  putMeasurement: route({
    method: 'PUT',
    path: '/api/cases/:practiceId/:referralId/measurements/:measurementId',
    access: { practice: vets, group: readers },
    params: onReferral.extend({ measurementId: id }),
    body: measurementEntry,
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Add a measurement, or one that supersedes another',
  }),
  putObservation: route({
    method: 'PUT',
    path: '/api/cases/:practiceId/:referralId/observations/:observationId',
    access: { practice: vets, group: readers },
    params: onReferral.extend({ observationId: id }),
    body: observationEntry,
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Add a coded observation',
  }),
  clipPack: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/clips/:clipId/pack',
    access: { practice: practiceAll, group: readers },
    params: onReferral.extend({ clipId: id }),
    /** `as=group`: the practice looks at what the group gets. `decision` only makes another address of it. */
    query: z.object({ as: z.enum(['group']).optional(), decision: z.string().max(4000).optional() }),
    reply: null,
    summary: 'Frame pack, by ranges: own for the practice, outgoing for the group',
  }),
  clipFrame: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/clips/:clipId/frames/:frame',
    access: { practice: practiceAll, group: readers },
    params: onReferral.extend({ clipId: id, frame: z.coerce.number().int().min(0) }),
    /** `paper`: with what hides a name in it, also for the practice itself. */
    query: z.object({ as: z.enum(['seen', 'paper']).default('seen') }),
    reply: null,
    summary: 'Exact pixels of one frame as PNG, for measuring',
  }),
  firstFrame: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/first-frames/:arrivalId',
    access: { practice: practiceAll, group: readers },
    params: onReferral.extend({ arrivalId: id }),
    reply: null,
    summary: 'First frame of a clip that is still on its way, as JPEG',
  }),
  clipAssessment: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/clips/:clipId/assessment',
    access: { practice: practiceAll, group: readers },
    params: onReferral.extend({ clipId: id }),
    reply: assessment,
    summary: 'What the pictures of a clip say, with outlines and curves',
  }),
  putClipStatement: route({
    method: 'PUT',
    path: '/api/cases/:practiceId/:referralId/clips/:clipId/statements/:statementId',
    access: { practice: vets, group: readers },
    params: onReferral.extend({ clipId: id, statementId: id }),
    body: clipStatement,
    reply: z.object({ ok: z.literal(true) }),
    summary:
      'Say something about a clip: pixel length, cycle marks, judgement of the view, corrected outline',
  }),
  putMessage: route({
    method: 'PUT',
    path: '/api/cases/:practiceId/:referralId/messages/:messageId',
    access: { practice: vets, group: readers },
    params: onReferral.extend({ messageId: id }),
    body: z.object({ text: z.string().trim().min(1, 'a message needs words').max(2000) }),
    reply: message,
    summary: 'Ask or answer on a referral',
  }),
  keeperPagePdf: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/opinions/:signedId/keeper-page',
    access: { practice: practiceAll, group: readers },
    params: onReferral.extend({ signedId: id }),
    reply: null,
    summary: 'The plain page for the keeper as PDF; for the practice after its vet released it',
  }),
  previewPdf: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/opinion/preview',
    access: { group: readers },
    params: onReferral,
    reply: null,
    summary: 'The draft as the PDF will print it, marked as not signed',
  }),
  opinionPdf: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/opinions/:signedId/pdf',
    access: { practice: practiceAll, group: readers },
    params: onReferral.extend({ signedId: id }),
    reply: null,
    summary: 'The signed opinion as PDF, the same bytes every time',
  }),
} as const;
