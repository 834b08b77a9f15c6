import { z } from 'zod';
import { id, moment, revision, sha256 } from './ids';
import { structure, viewId } from './terms';

/** Each structure starts as 'not assessed': silence is never reassurance. */
export const structureFinding = z.object({
  state: z.enum(['not-assessed', 'not-seen', 'described']),
  text: z.string().max(2000),
});
export type StructureFinding = z.infer<typeof structureFinding>;

export const opinionFields = {
  findings: z.partialRecord(structure, structureFinding),
  conclusion: z.string().max(4000),
  stage: z.string().max(120),
  next: z.string().max(4000),
  rescan: z.string().max(2000),
  technique: z.string().max(2000),
};
export const opinionText = z.object(opinionFields);
export type OpinionText = z.infer<typeof opinionText>;

export const opinionDraft = opinionText.extend({ id, revision, updatedAt: moment });
export type OpinionDraft = z.infer<typeof opinionDraft>;

export const signedOpinion = z.object({
  id,
  kind: z.enum(['opinion', 'addendum']),
  text: opinionText,
  /** What was signed: canonical text, hashed. */
  sha256,
  signerName: z.string(),
  signedAt: moment,
  engineVersion: z.string(),
  pdfSha256: sha256.nullable(),
});
export type SignedOpinion = z.infer<typeof signedOpinion>;

export const interimAnswer = z.object({
  id,
  text: z.string(),
  signerName: z.string(),
  at: moment,
  readBackAt: moment.nullable(),
  readBackBy: z.string().nullable(),
});
export type InterimAnswer = z.infer<typeof interimAnswer>;

export const wantedView = z.object({ view: viewId, how: z.string().max(600) });
export const rescanWish = z.object({
  id,
  views: z.array(wantedView),
  text: z.string().max(2000),
  askedBy: z.string(),
  at: moment,
  answeredAt: moment.nullable(),
});
export type RescanWish = z.infer<typeof rescanWish>;

export const flagAnswer = z.object({
  flagKey: z.string().max(200),
  answer: z.enum(['kept', 'set-aside']),
  reason: z.string().max(600),
  by: z.string(),
  at: moment,
});
export type FlagAnswer = z.infer<typeof flagAnswer>;
