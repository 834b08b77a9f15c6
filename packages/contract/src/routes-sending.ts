import { z } from 'zod';
import { outcome, outcomeEntry, recheckRow } from './after-answer';
import { outboxMail, referralFields, referralRow, sendingPreview } from './case-view';
import { indexValue } from './change';
import { arrivalRecord, box, machineSays } from './clip';
import { patchOf, patchReply } from './draft-patch';
import { keepOutline } from './fan-proposal';
import { firstFrameEntry } from './first-frame';
import { day, id, moment, revision, sha256 } from './ids';
import { referralState } from './referral-states';
import { route } from './route';
import { done, inPractice, onReferral, practiceAll, vets } from './route-params';
import { scanRecord } from './scan';
import { scanPlanId, species, viewId } from './terms';

/** The sending side: referrals, scans, files and what of them may leave. */
export const sendingRoutes = {
  listReferrals: route({
    method: 'GET',
    path: '/api/practices/:practiceId/referrals',
    access: { practice: practiceAll },
    params: inPractice,
    query: z.object({ state: referralState.optional() }),
    reply: z.array(referralRow),
    summary: 'Referrals of a practice, newest first',
  }),
  indexValues: route({
    method: 'GET',
    path: '/api/practices/:practiceId/index-values',
    access: { practice: practiceAll },
    params: inPractice,
    query: z.object({ species, index: z.string().max(60) }),
    reply: z.array(indexValue),
    summary: "A practice's own patients on one index, with their weights",
  }),
  putReferral: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/referrals/:referralId',
    access: { practice: vets },
    params: onReferral,
    body: z.object({ patientId: id, groupId: id.nullable(), plan: scanPlanId, scanId: id, scannedOn: day }),
    reply: z.object({ revision, number: z.int() }),
    summary: 'Open a draft with its first scan',
  }),
  patchReferral: route({
    method: 'PATCH',
    path: '/api/practices/:practiceId/referrals/:referralId',
    access: { practice: vets },
    params: onReferral,
    body: patchOf(referralFields),
    reply: patchReply,
    summary: 'Change fields of a draft',
  }),
  putScan: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/referrals/:referralId/scans/:scanId',
    access: { practice: vets },
    params: onReferral.extend({ scanId: id }),
    body: z.object({ scannedOn: day }),
    reply: scanRecord,
    summary: 'Add a scan to a referral, for a rescan',
  }),
  releaseClip: route({
    method: 'POST',
    path: '/api/practices/:practiceId/clips/:clipId/release',
    access: { practice: vets },
    params: z.object({ practiceId: id, clipId: id }),
    body: z.object({
      reason: z.string().trim().min(1, 'say why this clip belongs to this patient').max(600),
    }),
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Let a held clip go: its names differ, and a person says why it is right',
  }),
  patchScan: route({
    method: 'PATCH',
    path: '/api/practices/:practiceId/scans/:scanId',
    access: { practice: vets },
    params: z.object({ practiceId: id, scanId: id }),
    body: patchOf(scanRecord.omit({ id: true, patientId: true, revision: true }).shape),
    reply: patchReply,
    summary: 'Change date, operator, machine or state at scan',
  }),
  previewSending: route({
    method: 'GET',
    path: '/api/practices/:practiceId/referrals/:referralId/sending',
    access: { practice: vets },
    params: onReferral,
    reply: sendingPreview,
    summary: 'What is missing, who reads when, do names agree',
  }),
  sendReferral: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/send',
    access: { practice: vets },
    params: onReferral,
    body: z.object({
      /** Revision of the case that the sender saw. */
      base: revision,
      identityReason: z.string().trim().max(600).nullable(),
      /** Made by the client: the same request again sends nothing twice. */
      sendingId: id.optional(),
      /**
       * Hash of the numbers that the sender saw (`numbersHashOf`). With it `base` may be older than what stands, by changes
       * of the sender's own: the request may have waited on a device.
       */
      inputHash: z.string().max(128).optional(),
      /** So many differences between files and referral were seen: a reason covers no others. */
      differencesSeen: z.int().min(0).optional(),
    }),
    reply: done,
    summary: 'Send a draft to the reading group; repeating it with the same id sends nothing twice',
  }),
  withdrawReferral: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/withdraw',
    access: { practice: vets },
    params: onReferral,
    body: z.object({ base: revision, reason: z.string().trim().min(1).max(600) }),
    reply: done,
    summary: 'Withdraw an open referral',
  }),
  closeReferral: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/close',
    access: { practice: vets },
    params: onReferral,
    body: z.object({ base: revision }),
    reply: done,
    summary: 'Close an answered referral',
  }),
  imagesSent: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/images-sent',
    access: { practice: vets },
    params: onReferral,
    body: z.object({ base: revision, wishId: id, note: z.string().max(600) }),
    reply: done,
    summary: 'Answer a rescan wish: the new clips are in',
  }),
  readBack: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/interims/:interimId/read-back',
    access: { practice: vets },
    params: onReferral.extend({ interimId: id }),
    body: z.object({}),
    reply: z.object({ at: moment }),
    summary: 'The vet has read the interim answer',
  }),

  releaseKeeperPage: route({
    method: 'POST',
    path: '/api/practices/:practiceId/referrals/:referralId/opinions/:signedId/release-keeper-page',
    access: { practice: vets },
    params: onReferral.extend({ signedId: id }),
    body: z.object({}),
    reply: z.object({ at: moment }),
    summary: 'The vet releases the plain page for the keeper',
  }),
  putOutcome: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/referrals/:referralId/outcome',
    access: { practice: vets },
    params: onReferral,
    body: outcomeEntry,
    reply: outcome,
    summary: 'What became of the patient, asked once two weeks after the answer',
  }),
  listRechecks: route({
    method: 'GET',
    path: '/api/practices/:practiceId/rechecks',
    access: { practice: practiceAll },
    params: inPractice,
    reply: z.array(recheckRow),
    summary: 'Patients due to be looked at again, soonest first',
  }),

  knownOriginals: route({
    method: 'POST',
    path: '/api/practices/:practiceId/originals/known',
    access: { practice: vets },
    machine: true,
    params: inPractice,
    body: z.object({ sha256s: z.array(sha256).max(500) }),
    reply: z.array(
      z.object({
        sha256,
        fileName: z.string(),
        referralNumber: z.int().nullable(),
        patientName: z.string().nullable(),
        arrivedAt: moment,
      }),
    ),
    summary: 'Which of these files has this practice sent before',
  }),
  putArrival: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/arrivals/:arrivalId',
    access: { practice: vets },
    machine: true,
    params: z.object({ practiceId: id, arrivalId: id }),
    body: z.object({
      referralId: id,
      scanId: id,
      fileName: z.string().max(400),
      sizeBytes: z.int().min(1, 'the file is empty'),
      sha256: sha256.nullable(),
      /** What the file's header says of patient and day, where it was read before a byte was sent. */
      machine: machineSays.nullish(),
      /** Filmed or photographed from a screen, by the word of who sends it. */
      filmedScreen: z.boolean().optional(),
    }),
    reply: arrivalRecord,
    summary: 'Announce a file; its bytes then come by tus to /api/uploads/<arrivalId>',
  }),
  putFirstFrame: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/arrivals/:arrivalId/first-frame',
    access: { practice: vets },
    params: z.object({ practiceId: id, arrivalId: id }),
    body: firstFrameEntry,
    reply: z.object({ ok: z.literal(true) }),
    summary: 'A small masked picture of an announced file, ahead of its bytes',
  }),
  patchClip: route({
    method: 'PATCH',
    path: '/api/practices/:practiceId/clips/:clipId',
    access: { practice: vets },
    params: z.object({ practiceId: id, clipId: id }),
    body: z.object({
      view: viewId.nullable(),
      viewJudged: z.enum(['received', 'adequate', 'doubtful', 'not-possible']).default('received'),
      viewWhy: z.string().max(300).nullable().default(null),
    }),
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Name the view of a clip',
  }),
  maskClip: route({
    method: 'POST',
    path: '/api/practices/:practiceId/clips/:clipId/mask',
    access: { practice: vets },
    params: z.object({ practiceId: id, clipId: id }),
    body: z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('box'), box, cover: z.array(box).max(64).optional() }),
      z.object({ kind: z.literal('fan'), outline: keepOutline, cover: z.array(box).max(64).optional() }),
      z.object({ kind: z.literal('regions'), cover: z.array(box).max(64).optional() }),
      z.object({ kind: z.literal('no-name-confirmed') }),
    ]),
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Decide what leaves the practice where the file does not say',
  }),
  outbox: route({
    method: 'GET',
    path: '/api/practices/:practiceId/outbox',
    access: { practice: practiceAll },
    params: inPractice,
    reply: z.array(outboxMail),
    summary: 'Mails of the practice, sent or waiting for a mail server',
  }),
} as const;
