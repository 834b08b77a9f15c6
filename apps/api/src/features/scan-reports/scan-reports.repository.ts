import { type CaseReport, type ReportMessage, type SignedReport, upgradeReportText } from '@chordae/contract';
import { and, asc, eq } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import type { CaseRef } from '../../platform/http/route-server';
import { reportDrafts, reportMessages, reportPdfs, signedReports } from './scan-reports.tables';

export interface ReportPlace {
  readonly practiceId: string;
  readonly referralId: string;
}

export async function reportDraftRow(tx: ActorTx, at: ReportPlace) {
  const rows = await tx
    .select()
    .from(reportDrafts)
    .where(and(eq(reportDrafts.practiceId, at.practiceId), eq(reportDrafts.referralId, at.referralId)));
  return rows[0] ?? null;
}

/** Signed report and addenda of a case, oldest first, as far as row-level security opens them. */
export async function signedReportsOf(tx: ActorTx, at: ReportPlace): Promise<SignedReport[]> {
  const rows = await tx
    .select({ s: signedReports, pdf: reportPdfs.sha256 })
    .from(signedReports)
    .leftJoin(
      reportPdfs,
      and(eq(reportPdfs.practiceId, signedReports.practiceId), eq(reportPdfs.signedId, signedReports.id)),
    )
    .where(and(eq(signedReports.practiceId, at.practiceId), eq(signedReports.referralId, at.referralId)))
    .orderBy(asc(signedReports.signedAt), asc(signedReports.id));
  return rows.map(({ s, pdf }) => ({
    id: s.id,
    kind: s.kind,
    text: upgradeReportText(s.fields),
    sha256: s.sha256,
    signerId: s.signerId,
    signerName: s.signerName,
    signedAt: s.signedAt.toISOString(),
    deviceSignedAt: s.deviceSignedAt?.toISOString() ?? null,
    engineVersion: s.engineVersion,
    pdfSha256: pdf,
  }));
}

export async function reportThreadOf(tx: ActorTx, at: ReportPlace): Promise<ReportMessage[]> {
  const rows = await tx
    .select()
    .from(reportMessages)
    .where(and(eq(reportMessages.practiceId, at.practiceId), eq(reportMessages.referralId, at.referralId)))
    .orderBy(asc(reportMessages.madeAt), asc(reportMessages.id));
  return rows.map((m) => ({
    id: m.id,
    side: m.side,
    text: m.text,
    by: m.madeByName,
    at: m.madeAt.toISOString(),
  }));
}

/** What a viewer may see of a case's report. Draft and thread stay with the practice, by policy and here once more. */
export async function caseReportOf(tx: ActorTx, onCase: CaseRef): Promise<CaseReport> {
  const signed = await signedReportsOf(tx, onCase);
  if (onCase.side === 'group') return { draft: null, signed, thread: [] };
  const row = await reportDraftRow(tx, onCase);
  return {
    draft: row
      ? {
          ...upgradeReportText(row.fields),
          id: row.id,
          revision: row.revision,
          updatedAt: row.updatedAt.toISOString(),
        }
      : null,
    signed,
    thread: await reportThreadOf(tx, onCase),
  };
}
