import { z } from 'zod';
import { patchOf, patchReply } from './draft-patch';
import { id, moment, revision, sha256 } from './ids';
import { route } from './route';
import { onReferral, practiceAll, readers } from './route-params';
import { reportFields, reportMessage, reportText } from './scan-report';

const whoScans = ['referring-vet', 'sonographer'] as const;
const signed = z.object({ signedId: id, sha256 });

/** Scan reports: written and signed by the person who scanned, for the practice. */
export const reportRoutes = {
  patchReport: route({
    method: 'PATCH',
    path: '/api/practices/:practiceId/referrals/:referralId/report',
    access: { practice: whoScans },
    params: onReferral,
    /** `draftId` is made by the client and used when there is no draft yet; a case has one draft. */
    body: patchOf(reportFields).extend({ draftId: id }),
    reply: patchReply,
    summary: 'Write in the scan report of a draft; the first patch begins it',
  }),
  previewReport: route({
    method: 'GET',
    path: '/api/practices/:practiceId/referrals/:referralId/report/preview',
    access: { practice: whoScans },
    params: onReferral,
    reply: null,
    summary: 'The scan report as it would be printed now; as JSON its page model',
  }),
  signReport: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/report/sign',
    access: { practice: whoScans },
    params: onReferral,
    body: z.object({
      /** Revision of the case that the person saw. */
      base: revision,
      draftRevision: revision,
      /** The whole text as the person saw it: what differs on the server is not signed. */
      fields: reportText,
      /** Hash of the numbers that the person saw (`numbersHashOf`); null where nothing was computed. */
      inputHash: z.string().max(128).nullable(),
      signedId: id,
      /** Moment of signing by the device's clock, where it was signed without a network. */
      deviceSignedAt: moment.nullable(),
      password: z.string().max(400),
    }),
    reply: signed,
    summary: 'Sign the scan report; repeating it with the same id signs nothing twice',
  }),
  signReportAddendum: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/report/addenda',
    access: { practice: whoScans },
    params: onReferral,
    body: z.object({
      signedId: id,
      text: z.string().trim().min(1, 'write what is added').max(4000),
      deviceSignedAt: moment.nullable(),
      password: z.string().max(400),
    }),
    reply: signed,
    summary: 'Add to a signed scan report',
  }),
  fileReport: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/report/file',
    access: { practice: ['referring-vet', 'manager'] },
    params: onReferral,
    body: z.object({ base: revision }),
    reply: z.object({ revision }),
    summary: 'The practice has read the scan report and files it',
  }),
  putReportMessage: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/referrals/:referralId/report/messages/:messageId',
    access: { practice: practiceAll },
    params: onReferral.extend({ messageId: id }),
    body: z.object({ text: z.string().trim().min(1, 'write something first').max(2000) }),
    reply: reportMessage,
    summary: 'Ask the sonographer about a scan report, or answer',
  }),
  reportPdf: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/reports/:signedId/pdf',
    access: { practice: practiceAll, group: readers },
    params: onReferral.extend({ signedId: id }),
    reply: null,
    summary: 'A signed scan report as PDF; as JSON its page model',
  }),
} as const;
