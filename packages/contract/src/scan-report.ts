import { z } from 'zod';
import { id, moment, revision, sha256 } from './ids';
import { EMPTY_OPINION, type OpinionText, opinionFields, upgradeOpinionText } from './opinion';

/**
 * What the person who scanned makes of an act-now flag: it stands, it is passed up to a cardiologist, or it is set aside
 * with a reason. It travels with the report's text, so that a report signed without a network is one piece.
 */
export const reportFlagAnswer = z.object({
  flagKey: z.string().max(200),
  answer: z.enum(['kept', 'passed-up', 'set-aside']),
  reason: z.string().max(600),
});
export type ReportFlagAnswer = z.infer<typeof reportFlagAnswer>;

/** What is written in a scan report: the fields of an opinion that a person who scans answers for, without stage and teaching. */
export const reportFields = {
  findings: opinionFields.findings,
  conclusion: opinionFields.conclusion,
  next: opinionFields.next,
  notToConclude: opinionFields.notToConclude,
  rescan: opinionFields.rescan,
  keyFrames: opinionFields.keyFrames,
  recheckOn: opinionFields.recheckOn,
  recheckFor: opinionFields.recheckFor,
  flagAnswers: z.array(reportFlagAnswer).max(80),
};
export const reportText = z.object(reportFields);
export type ReportText = z.infer<typeof reportText>;

/** A report begins with nothing said. */
export const EMPTY_REPORT: ReportText = {
  findings: {},
  conclusion: '',
  next: '',
  notToConclude: '',
  rescan: '',
  keyFrames: [],
  recheckOn: null,
  recheckFor: '',
  flagAnswers: [],
};

/** A stored text in today's form: what did not exist when it was written is empty. */
export function upgradeReportText(stored: Partial<ReportText>): ReportText {
  const { findings } = upgradeOpinionText(stored);
  return { ...EMPTY_REPORT, ...stored, findings };
}

/** The same words as the fields of an opinion, for the page that both are printed by. */
export function opinionTextOf(report: ReportText): OpinionText {
  const { flagAnswers: _answers, ...text } = report;
  return { ...EMPTY_OPINION, ...text };
}

export const reportDraft = reportText.extend({ id, revision, updatedAt: moment });
export type ReportDraft = z.infer<typeof reportDraft>;

export const signedReport = z.object({
  id,
  kind: z.enum(['report', 'addendum']),
  text: reportText,
  /** What was signed: canonical text, hashed. */
  sha256,
  signerId: id,
  signerName: z.string(),
  /** The server's time: from then on it counts. */
  signedAt: moment,
  /** When the person signed, by the clock of their device; null where none was given. */
  deviceSignedAt: moment.nullable(),
  engineVersion: z.string(),
  pdfSha256: sha256.nullable(),
});
export type SignedReport = z.infer<typeof signedReport>;

/** Between a practice and its sonographer, about one report. No reading group sees it. */
export const reportMessage = z.object({
  id,
  side: z.enum(['practice', 'sonographer']),
  text: z.string(),
  by: z.string(),
  at: moment,
});
export type ReportMessage = z.infer<typeof reportMessage>;

/** What a viewer may see of a case's scan report. The reading group: what was signed, once the case was sent to it. */
export const caseReport = z.object({
  draft: reportDraft.nullable(),
  signed: z.array(signedReport),
  thread: z.array(reportMessage),
});
export type CaseReport = z.infer<typeof caseReport>;
