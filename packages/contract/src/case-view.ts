import { z } from 'zod';
import { agreement } from './account';
import { message, outcome } from './after-answer';
import { engineNews } from './change';
import { arrivalRecord, clipRecord } from './clip';
import { clipStatementRecord } from './clip-statement';
import { firstFrame } from './first-frame';
import { secondRead } from './group-work';
import { id, moment, revision } from './ids';
import { interpretation, wordData } from './interpretation';
import { measurementRecord, observationRecord } from './measurement';
import { flagAnswer, interimAnswer, opinionDraft, rescanWish, signedOpinion } from './opinion';
import { patientFields, weightRecord } from './patient';
import { referralState } from './referral-states';
import { scanRecord } from './scan';
import { caseReport } from './scan-report';
import { scanPlanId, urgency } from './terms';

/** Fields of a referral that its sender may edit while it is a draft. */
export const referralFields = {
  /** null: no reading group chosen yet; a scan report needs none. */
  groupId: id.nullable(),
  plan: scanPlanId,
  question: z.string().max(2000),
  history: z.string().max(8000),
  urgencyAsked: urgency.nullable(),
  /** Why the asked urgency is below the proposed one; the higher stands unless this says why not. */
  urgencyReason: z.string().max(600),
};
export const referralDraftFields = z.object(referralFields);
export type ReferralDraftFields = z.infer<typeof referralDraftFields>;

export const referralRecord = referralDraftFields.extend({
  id,
  practiceId: id,
  practiceName: z.string(),
  groupName: z.string(),
  number: z.int(),
  state: referralState,
  revision,
  createdAt: moment,
  sentAt: moment.nullable(),
  dueAt: moment.nullable(),
  urgency: urgency.nullable(),
  identity: z.enum(['not-compared', 'agreed', 'resolved', 'nothing-to-compare']),
});
export type ReferralRecord = z.infer<typeof referralRecord>;

/** The patient as it stood when the referral was sent; live while it is a draft. */
export const patientView = patientFields.extend({
  id,
  number: z.int(),
  revision: revision.nullable(),
  weight: weightRecord.nullable(),
  ageMonths: z.int().nullable(),
});
export type PatientView = z.infer<typeof patientView>;

export const eventView = z.object({
  id,
  kind: z.string(),
  at: moment,
  by: z.string(),
  data: z.record(z.string(), z.unknown()),
});
export type EventView = z.infer<typeof eventView>;

/** One referral with all that the viewer may see: the practice's side, or the reading group's. */
export const caseView = z.object({
  side: z.enum(['practice', 'group']),
  referral: referralRecord,
  /** With the reading group that is asked; while none is chosen, the practice's only one. */
  agreement: agreement.nullable(),
  patient: patientView,
  scans: z.array(scanRecord),
  /** Practice only; empty for the group. */
  arrivals: z.array(arrivalRecord),
  /** Group: how many files of this referral are still on their way. */
  arriving: z.int(),
  /** Clips still on their way of which the first frame is there. */
  firstFrames: z.array(firstFrame),
  clips: z.array(clipRecord),
  statements: z.array(clipStatementRecord),
  measurements: z.array(measurementRecord),
  observations: z.array(observationRecord),
  interpretation: interpretation.nullable(),
  /** Set while the referral is open and newer rules say something else about the same input. */
  engineNews: engineNews.nullable(),
  flagAnswers: z.array(flagAnswer),
  interims: z.array(interimAnswer),
  wishes: z.array(rescanWish),
  opinions: z.array(signedOpinion),
  /** The scan report of the person who scanned; the group sees only what was signed, once the case was sent to it. */
  report: caseReport,
  reader: z.object({ memberId: id, name: z.string(), since: moment }).nullable(),
  /** To whom it was handed over, while it waits for that person. */
  handedTo: z.object({ memberId: id, name: z.string(), by: z.string(), reason: z.string() }).nullable(),
  /** Only for the reading group. */
  draft: opinionDraft.nullable(),
  /** The viewer's own second read; while it is unsigned, what the first reader did is not in this view. */
  secondRead: secondRead.nullable(),
  secondReadWanted: z.boolean(),
  thread: z.array(message),
  outcome: outcome.nullable(),
  /** Kinds of picture hints that the reading group has switched off, for both sides. */
  marksOff: z.array(z.string()),
  events: z.array(eventView),
});
export type CaseView = z.infer<typeof caseView>;

export const referralRow = z.object({
  id,
  practiceId: id,
  practiceName: z.string(),
  groupName: z.string(),
  number: z.int(),
  state: referralState,
  plan: scanPlanId,
  patientName: z.string(),
  species: z.string(),
  breedText: z.string(),
  weightKg: z.number().nullable(),
  urgency: urgency.nullable(),
  createdAt: moment,
  sentAt: moment.nullable(),
  dueAt: moment.nullable(),
  updatedAt: moment,
  readerName: z.string().nullable(),
  clipCount: z.int(),
  /** Who wrote last about the scan report; absent where nothing was written, and for the reading group. */
  reportTalk: z.enum(['practice', 'sonographer']).nullish(),
});
export type ReferralRow = z.infer<typeof referralRow>;

/** A row of the cardiologists' queue; order and reason are computed on reading, not stored. */
export const queueRow = referralRow.extend({
  revision: z.int(),
  actNow: z.array(z.string()),
  ageMonths: z.int().nullable(),
  /** Codes with data of why it stands here, first reason first. */
  reasons: z.array(z.object({ code: z.string(), data: wordData })),
  late: z.boolean(),
  mine: z.boolean(),
  /** The clock stands still: images are wanted. */
  paused: z.boolean(),
  /** Handed to the viewer, by whom and why. */
  handedToMe: z.object({ by: z.string(), reason: z.string() }).nullable(),
  handedToName: z.string().nullable(),
  /** A second, blind read is wanted, and the viewer may do it. */
  secondReadOpen: z.boolean(),
  /** The practice wrote last in the thread. */
  questionOpen: z.boolean(),
});
export type QueueRow = z.infer<typeof queueRow>;

/** What stands between a draft and its sending, and who reads it when. */
export const sendingPreview = z.object({
  blockers: z.array(
    z.object({
      code: z.string(),
      field: z.string(),
      data: z.record(z.string(), z.union([z.string(), z.number()])),
    }),
  ),
  identity: z.array(
    z.object({
      /** The clip, or its arrival while it is on its way. */
      clipId: id,
      fileName: z.string(),
      field: z.enum(['name', 'species', 'sex', 'weight', 'scan-date']),
      inFile: z.string(),
      inReferral: z.string(),
      verdict: z.enum(['agrees', 'differs']),
    }),
  ),
  /** Files that have not arrived yet: they follow by themselves. */
  stillArriving: z.int(),
  urgencyProposed: urgency,
  urgencyThatStands: urgency,
  dueAt: moment,
  readNow: z.boolean(),
  nextOpensAt: moment.nullable(),
  groupPhone: z.string(),
  emergencyContact: z.string(),
});
export type SendingPreview = z.infer<typeof sendingPreview>;

export const outboxMail = z.object({
  id,
  to: z.string(),
  subject: z.string(),
  body: z.string(),
  state: z.enum(['waiting', 'sent', 'failed']),
  createdAt: moment,
  referralId: id.nullable(),
});
export type OutboxMail = z.infer<typeof outboxMail>;
