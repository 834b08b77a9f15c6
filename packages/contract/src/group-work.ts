import { z } from 'zod';
import { id, moment, revision } from './ids';
import { canonicalUnit, measurementCode } from './measurement-codes';
import { opinionText, structureFinding } from './opinion';
import { species, structure, urgency } from './terms';

/** One person of a reading group with what is on their table. */
export const groupReader = z.object({
  memberId: id,
  name: z.string(),
  roles: z.array(z.enum(['cardiologist', 'lead'])),
  /** Referrals that this person reads now, and of these the urgent ones and emergencies. */
  reading: z.int(),
  readingUrgent: z.int(),
  handedOver: z.int(),
  answered7d: z.int(),
});
export type GroupReader = z.infer<typeof groupReader>;

/** What a lead may set for a group. */
export const groupSettings = z.object({
  /** Share of referrals that get a second, blind read, in per cent. */
  secondReadPercent: z.int().min(0).max(100),
  /** Kinds of picture hints that are switched off here. */
  marksOff: z.array(z.string().max(60)).max(40),
});
export type GroupSettings = z.infer<typeof groupSettings>;

/** A sentence that the group uses again. `place` is a structure, or a field of the opinion. */
export const phrase = z.object({
  id,
  place: z.union([
    structure,
    z.enum(['conclusion', 'next', 'notToConclude', 'rescan', 'technique', 'keeperPage']),
  ]),
  text: z.string().trim().min(1).max(1000),
  by: z.string(),
  retired: z.boolean(),
});
export type Phrase = z.infer<typeof phrase>;

/** What the second reader writes, blind: short, and comparable. */
export const secondReadFields = {
  findings: z.partialRecord(structure, structureFinding),
  conclusion: z.string().max(4000),
  stage: z.string().max(120),
  urgency: urgency.nullable(),
  /** Own values, where measured again. */
  values: z.partialRecord(measurementCode, z.object({ value: z.number().finite(), unit: canonicalUnit })),
};
export const secondReadText = z.object(secondReadFields);
export type SecondReadText = z.infer<typeof secondReadText>;

export const secondRead = secondReadText.extend({
  id,
  revision,
  startedAt: moment,
  signedAt: moment.nullable(),
});
export type SecondRead = z.infer<typeof secondRead>;

/** Both reads of one referral, for the lead, after both were signed. */
export const readPair = z.object({
  practiceId: id,
  referralId: id,
  practiceName: z.string(),
  number: z.int(),
  patientName: z.string(),
  species,
  firstReader: z.string(),
  secondReader: z.string(),
  signedAt: moment,
  first: opinionText,
  second: secondReadText,
  /** Urgency that stood when the first read was signed. */
  urgency: urgency.nullable(),
  /** The first reader's standing values, for comparing with the second's. */
  values: z.array(z.object({ code: measurementCode, value: z.number(), unit: canonicalUnit })),
});
export type ReadPair = z.infer<typeof readPair>;

/** One picture hint beside what a reader made of the same clip. */
export const markJudged = z.object({
  clipId: id,
  mark: z.string(),
  said: z.string(),
  reader: z.string(),
  agrees: z.boolean(),
  at: moment,
});
export type MarkJudged = z.infer<typeof markJudged>;
