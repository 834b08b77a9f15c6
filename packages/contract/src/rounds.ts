import { z } from 'zod';
import { day, id, moment, revision } from './ids';
import { type ReferralState, referralState } from './referral-states';
import { scanPlanId, sex, species } from './terms';

/**
 * A patient as somebody wrote it into a list, before it is looked up: everything as typed, nothing filled in. It becomes
 * a patient of the practice only when a person has chosen one or confirmed a new one.
 */
export const plannedPatient = z.object({
  name: z.string().trim().max(120),
  species: species.nullable(),
  breedText: z.string().max(120),
  sex: sex.nullable(),
  neutered: z.boolean().nullable(),
  /** Birth date or age as written: '2018', '8 y'. */
  birth: z.string().max(40),
  /** Weight as written, with its unit: '7.4 kg'. */
  weight: z.string().max(40),
  chip: z.string().max(30),
  keeperName: z.string().max(160),
  keeperPhone: z.string().max(60),
  plan: scanPlanId.nullable(),
  question: z.string().max(2000),
  note: z.string().max(600),
});
export type PlannedPatient = z.infer<typeof plannedPatient>;

export const EMPTY_PLANNED: PlannedPatient = {
  name: '',
  species: null,
  breedText: '',
  sex: null,
  neutered: null,
  birth: '',
  weight: '',
  chip: '',
  keeperName: '',
  keeperPhone: '',
  plan: null,
  question: '',
  note: '',
};

export const visitFields = {
  planned: plannedPatient,
  /** Place in the round; rises with the order of the day. */
  position: z.number(),
  /** The patient of the practice that it is, once a person has said so. */
  patientId: id.nullable(),
  /** The case that was opened for it. */
  referralId: id.nullable(),
  /** Set when it was not scanned, with why. */
  notScanned: z.string().trim().max(300).nullable(),
  /** The round that it stands on: another one moves it to another day. */
  roundId: id,
};
export const visitEntry = z.object(visitFields);
export type VisitEntry = z.infer<typeof visitEntry>;

/** What is done and what is open about one visit, read from its case; null until a case was opened. */
export const visitCase = z.object({
  number: z.int(),
  state: referralState,
  clipCount: z.int(),
  /** Files announced whose bytes or reading are not finished. */
  arriving: z.int(),
  measurementCount: z.int(),
  hasReportDraft: z.boolean(),
  reportSigned: z.boolean(),
  groupName: z.string(),
  /** Codes of act-now flags of the newest interpretation. */
  actNow: z.array(z.string()),
});
export type VisitCase = z.infer<typeof visitCase>;

export const visit = visitEntry.extend({
  id,
  practiceId: id,
  requestId: id.nullable(),
  patientName: z.string().nullable(),
  case: visitCase.nullable(),
  revision,
});
export type Visit = z.infer<typeof visit>;

/** Case states after which the sonographer has nothing left to do about a visit. */
const FINISHED: readonly ReferralState[] = [
  'reported',
  'filed',
  'sent',
  'reading',
  'answered',
  'closed',
  'withdrawn',
];

/** Done: reported or sent with every file in, or said not to be scanned. A day is closed and counted by this rule. */
export function isVisitDone(of: Pick<Visit, 'notScanned' | 'case'>): boolean {
  if (of.notScanned !== null) return true;
  return of.case !== null && of.case.arriving === 0 && FINISHED.includes(of.case.state);
}

export const roundFields = {
  title: z.string().max(120),
  note: z.string().max(2000),
  /** Practices in the order of the day. */
  practiceOrder: z.array(id).max(40),
};
export const roundText = z.object(roundFields);
export type RoundText = z.infer<typeof roundText>;

export const roundRow = z.object({
  id,
  day,
  title: z.string(),
  closedAt: moment.nullable(),
  visits: z.int(),
  /** Reported, sent, or said not to be scanned. */
  done: z.int(),
  practices: z.array(z.string()),
});
export type RoundRow = z.infer<typeof roundRow>;

/** A sonographer's day: practices in order, patients in order. Seen by its member only; visits also by their practice. */
export const round = roundText.extend({
  id,
  day,
  closedAt: moment.nullable(),
  revision,
  visits: z.array(visit),
});
export type Round = z.infer<typeof round>;

/** A practice asks for a scan on the next round. */
export const scanRequest = z.object({
  id,
  practiceId: id,
  patientId: id.nullable(),
  planned: plannedPatient,
  wantedOn: day.nullable(),
  askedBy: z.string(),
  askedAt: moment,
  takenBy: z.string().nullable(),
  takenAt: moment.nullable(),
});
export type ScanRequest = z.infer<typeof scanRequest>;

/** A patient found at one of the practices that one serves. */
export const foundPatient = z.object({
  practiceId: id,
  practiceName: z.string(),
  patientId: id,
  number: z.int(),
  name: z.string(),
  species,
  breedText: z.string(),
  sex,
  chip: z.string().nullable(),
  birthDate: day.nullable(),
  weightKg: z.number().nullable(),
  weighedOn: day.nullable(),
  lastScannedOn: day.nullable(),
});
export type FoundPatient = z.infer<typeof foundPatient>;

/** Work of somebody who left the practice, as its device handed it over. */
export const leftWork = z.object({
  id,
  fromName: z.string(),
  madeAt: moment,
  /** The writes that had not been sent, in order: method, path, body. */
  ops: z.array(z.unknown()),
  files: z.array(z.object({ id, fileName: z.string(), sizeBytes: z.int() })),
  takenBy: z.string().nullable(),
  takenAt: moment.nullable(),
});
export type LeftWork = z.infer<typeof leftWork>;
