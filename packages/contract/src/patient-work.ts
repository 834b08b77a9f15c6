import { z } from 'zod';
import { day, id, moment } from './ids';
import { keeperFields, patientRecord } from './patient';
import { referralState } from './referral-states';
import { scanPlanId, sex, species } from './terms';

/** What a patient was called before it was merged into the one that stands. */
export const mergedName = z.object({ id, number: z.int(), name: z.string() });
export type MergedName = z.infer<typeof mergedName>;

/** One patient in a practice's list. The keeper is there for the practice's own people only. */
export const patientListRow = z.object({
  id,
  number: z.int(),
  name: z.string(),
  species,
  breedText: z.string(),
  sex,
  birthDate: day.nullable(),
  weightKg: z.number().nullable(),
  weightGuessed: z.boolean(),
  keeperName: z.string(),
  keeperPhone: z.string(),
  /** Day of the newest scan; null where there was none. */
  lastScanOn: day.nullable(),
  scans: z.int(),
  mergedFrom: z.array(mergedName),
});
export type PatientListRow = z.infer<typeof patientListRow>;

export const patientList = z.object({
  rows: z.array(patientListRow),
  /** More were found than are given. */
  cut: z.boolean(),
});
export type PatientList = z.infer<typeof patientList>;

/** What two patients have in common that makes them look like one. */
export const likeness = z.enum(['chip', 'birth', 'keeper-phone', 'keeper-name']);
export type Likeness = z.infer<typeof likeness>;

const likeOne = z.object({ id, number: z.int(), name: z.string(), species });
/** Two patients of one practice that may be the same animal. A hint, never more: a person looks at both. */
export const likelyPair = z.object({ one: likeOne, other: likeOne, because: z.array(likeness) });
export type LikelyPair = z.infer<typeof likelyPair>;

/** A merge that stands, with what it needs to be undone. */
export const standingMerge = z.object({
  mergeId: id,
  from: mergedName,
  keeper: keeperFields.nullable(),
  chip: z.string().nullable(),
  reason: z.string(),
  by: z.string(),
  at: moment,
  /** Only the last one into a patient that stands can be undone. */
  into: mergedName,
});
export type StandingMerge = z.infer<typeof standingMerge>;

/** One thing that happened to a patient. */
export const timelineEntry = z.object({
  /** Unique in the list: the kind with the id of what it is made from. */
  key: z.string(),
  kind: z.enum([
    'scan',
    'rescan',
    'referral',
    'report',
    'report-addendum',
    'opinion',
    'addendum',
    'outcome',
    'recheck',
  ]),
  day,
  referralId: id.nullable(),
  referralNumber: z.int().nullable(),
  plan: scanPlanId.nullable(),
  state: referralState.nullable(),
  /** Who scanned, sent, signed or answered. */
  by: z.string(),
  /** Question, conclusion, answer, or what a recheck is for. */
  words: z.string(),
  /** Clips of a scan. */
  clips: z.int().nullable(),
  /** Number of the patient under which it was made, where that one was merged. */
  underNumber: z.int().nullable(),
});
export type TimelineEntry = z.infer<typeof timelineEntry>;

export const patientPage = z.object({
  /** The patient that stands, with the weights of all it was merged with. */
  patient: patientRecord,
  keeper: keeperFields.nullable(),
  /** The id that was asked for was merged into this patient. */
  askedFor: mergedName.nullable(),
  merges: z.array(standingMerge),
  timeline: z.array(timelineEntry),
  /** Others that may be the same animal. */
  likely: z.array(likelyPair),
});
export type PatientPage = z.infer<typeof patientPage>;

export const mergeEntry = z.object({
  /** The one that is put away. */
  fromId: id,
  /** The one that stands. */
  intoId: id,
  reason: z.string().trim().min(1, 'say why these are the same animal').max(600),
});
