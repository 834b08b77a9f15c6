import { z } from 'zod';
import { day, id, moment } from './ids';
import { species } from './terms';

/** A question or an answer on a referral, between practice and reading group. */
export const message = z.object({
  id,
  side: z.enum(['practice', 'group']),
  text: z.string(),
  by: z.string(),
  at: moment,
});
export type Message = z.infer<typeof message>;

/** The one question two weeks after an answer. */
export const outcomeEntry = z.object({
  answer: z.enum(['as-expected', 'plan-changed', 'something-else-found', 'died', 'not-known']),
  words: z.string().trim().max(1000),
});
export const outcome = outcomeEntry.extend({ by: z.string(), at: moment });
export type Outcome = z.infer<typeof outcome>;

/** A patient due to be looked at again, by a signed opinion. */
export const recheckRow = z.object({
  referralId: id,
  number: z.int(),
  patientId: id,
  patientName: z.string(),
  species,
  dueOn: day,
  what: z.string(),
  /** A newer scan of the same patient: it was looked at again. */
  scannedSince: day.nullable(),
});
export type RecheckRow = z.infer<typeof recheckRow>;

/** What anybody who holds a printed opinion or scan report may learn from its hash. Names no patient. */
export const verifiedOpinion = z.object({
  known: z.boolean(),
  kind: z.enum(['opinion', 'addendum', 'scan-report', 'scan-report-addendum']).nullable(),
  signerName: z.string().nullable(),
  /** The reading group; for a scan report the practice it was made for. */
  groupName: z.string().nullable(),
  signedAt: moment.nullable(),
  addenda: z.int(),
});
export type VerifiedOpinion = z.infer<typeof verifiedOpinion>;

/** What a person set for their own desk: keys by action. */
export const deskSettings = z.object({ keys: z.record(z.string().max(60), z.string().max(40)) });
export type DeskSettings = z.infer<typeof deskSettings>;
