import { z } from 'zod';
import { day, id, moment, revision, sha256 } from './ids';
import { drawnShape, framePoint } from './measurement';
import { structure, viewId } from './terms';

/** Each structure starts as 'not assessed': silence is never reassurance. */
export const structureFinding = z.object({
  state: z.enum(['not-assessed', 'not-seen', 'described']),
  text: z.string().max(2000),
  /** The machine's sentence that the reader accepted; `text` is equal to it where nothing was changed. Kept for audit. */
  proposed: z.string().max(2000).nullable().default(null),
});
export type StructureFinding = z.infer<typeof structureFinding>;

/** A line drawn on a frame, with or without a number beside it. */
export const frameDrawing = z.object({
  shape: drawnShape,
  points: z.array(framePoint).min(1).max(512),
  axis: z.tuple([framePoint, framePoint]).nullable(),
  label: z.string().max(60),
});
export type FrameDrawing = z.infer<typeof frameDrawing>;

/** A frame worth printing, with what is drawn on it. */
export const keyFrame = z.object({
  id,
  clipId: id,
  frame: z.int().min(0),
  caption: z.string().max(200),
  drawings: z.array(frameDrawing).max(12),
});
export type KeyFrame = z.infer<typeof keyFrame>;

/** A kind sentence on how one clip was scanned, drawn on a frame of it if wished. */
export const clipFeedback = z.object({
  clipId: id,
  text: z.string().max(400),
  frame: z.int().min(0).nullable(),
  drawings: z.array(frameDrawing).max(12),
});
export type ClipFeedback = z.infer<typeof clipFeedback>;

/** A flag that the reader raises, beside the computed ones. */
export const ownFlag = z.object({
  id,
  level: z.enum(['act-now', 'look', 'note']),
  text: z.string().max(400),
});
export type OwnFlag = z.infer<typeof ownFlag>;

export const opinionFields = {
  findings: z.partialRecord(structure, structureFinding),
  conclusion: z.string().max(4000),
  stage: z.string().max(120),
  next: z.string().max(4000),
  /** What these clips and numbers do not allow to conclude. */
  notToConclude: z.string().max(2000),
  rescan: z.string().max(2000),
  technique: z.string().max(2000),
  clipFeedback: z.array(clipFeedback).max(60),
  keyFrames: z.array(keyFrame).max(6),
  ownFlags: z.array(ownFlag).max(12),
  /** When to look again: a day on the practice's due list, and what for. */
  recheckOn: day.nullable(),
  recheckFor: z.string().max(300),
  /** A plain page for the keeper; the vet releases it or does not. */
  keeperPage: z.string().max(4000),
};
export const opinionText = z.object(opinionFields);
export type OpinionText = z.infer<typeof opinionText>;

/** An opinion begins with nothing said: each structure is 'not assessed' until a person describes it. */
export const EMPTY_OPINION: OpinionText = {
  findings: {},
  conclusion: '',
  stage: '',
  next: '',
  notToConclude: '',
  rescan: '',
  technique: '',
  clipFeedback: [],
  keyFrames: [],
  ownFlags: [],
  recheckOn: null,
  recheckFor: '',
  keeperPage: '',
};

/** Upgrades a stored text to today's fields: what did not exist when it was written is empty. */
export function upgradeOpinionText(stored: Partial<OpinionText>): OpinionText {
  const findings = Object.fromEntries(
    Object.entries(stored.findings ?? {}).map(([name, found]) => [
      name,
      { ...found, proposed: found.proposed ?? null },
    ]),
  );
  return { ...EMPTY_OPINION, ...stored, findings };
}

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
  /** Set when a vet of the practice released the page for the keeper. */
  keeperReleasedAt: moment.nullable(),
  keeperReleasedBy: z.string().nullable(),
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
