import { createHash } from 'node:crypto';
import {
  EMPTY_REPORT,
  type Interpretation,
  type ReportText,
  reportFields,
  upgradeReportText,
} from '@chordae/contract';
import { numbersHashOf } from '@chordae/interpretation';
import { canonicalText } from '@chordae/report';
import { sayReportChanged } from '@chordae/words';
import { and, eq } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { rolesIn } from '../../platform/http/route-server';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';
import { confirmPassword } from '../accounts';
import { changedByOthers, lockReferral, moveReferral, type ReferralRowDb, touchReferral } from '../cases';
import { recordEvent } from '../events';
import { computeCase, storeInterpretation } from '../interpretations';
import { gatherReport } from './gather-report';
import { tellOfReport } from './notices';
import { type ReportPlace, reportDraftRow } from './scan-reports.repository';
import { signedReports } from './scan-reports.tables';

type Member = Actor & { readonly memberId: string };
type Signed = { signedId: string; sha256: string };

interface SignAsk {
  readonly base: number;
  readonly draftRevision: number;
  readonly fields: ReportText;
  readonly inputHash: string | null;
  readonly signedId: string;
  readonly deviceSignedAt: string | null;
  readonly password: string;
}

/**
 * Signs a scan report: exactly the text that the person saw, on exactly the numbers that the person saw, also when both
 * were seen days ago on a device without a network. The server's time counts; the device's is kept beside it.
 */
export async function signReport(
  tx: ActorTx,
  services: Services,
  actor: Member,
  at: ReportPlace,
  ask: SignAsk,
): Promise<Signed> {
  // Locked first, so that the same request sent twice at once signs once.
  const row = await lockReferral(tx, at);
  const repeated = await alreadySigned(tx, at, ask.signedId, ask.fields);
  if (repeated) return repeated;
  await confirmPassword(tx, actor, ask.password);
  if (row.state !== 'draft') throw new AppError('STATE_CHANGED', { state: row.state });
  await refuseOtherText(tx, at, ask);
  refuseOtherQuestion(row, ask.base, actor.name);
  if (ask.fields.conclusion.trim() === '')
    throw new AppError(
      'FIELD_INVALID',
      {},
      {
        field: 'conclusion',
        message: 'conclusion: a scan report needs a conclusion before it can be signed.',
      },
    );
  const { input } = await computeCase(tx, at.practiceId, at.referralId);
  if (ask.inputHash !== null && numbersHashOf(input) !== ask.inputHash)
    throw new AppError('REVISION_STALE', { what: 'numbers' }, { message: sayReportChanged('numbers') });
  const signedAt = services.clock.now();
  const interpretation = await storeInterpretation(tx, actor, at.practiceId, at.referralId, signedAt);
  refuseUnanswered(interpretation, ask.fields);
  const sha256 = await freeze(tx, actor, at, {
    kind: 'report',
    signedId: ask.signedId,
    text: ask.fields,
    addsTo: null,
    groupId: null,
    signedAt,
    deviceSignedAt: ask.deviceSignedAt,
    interpretation,
  });
  const data = { signedId: ask.signedId, sha256, deviceSignedAt: ask.deviceSignedAt };
  await moveReferral(tx, actor, at, 'report.signed', row.revision, {}, data);
  await tellOfReport(tx, at, { what: 'report', subjectId: ask.signedId, by: actor, toId: null });
  return { signedId: ask.signedId, sha256 };
}

/** Only by addition: the addendum names the hash of the report that it adds to. */
export async function signReportAddendum(
  tx: ActorTx,
  services: Services,
  actor: Member,
  at: ReportPlace,
  ask: { signedId: string; text: string; deviceSignedAt: string | null; password: string },
): Promise<Signed> {
  const row = await lockReferral(tx, at);
  const text: ReportText = { ...EMPTY_REPORT, conclusion: ask.text };
  const repeated = await alreadySigned(tx, at, ask.signedId, text);
  if (repeated) return repeated;
  await confirmPassword(tx, actor, ask.password);
  const report = await reportOf(tx, at);
  if (!report || row.state === 'withdrawn') throw new AppError('STATE_CHANGED', { state: row.state });
  if (report.signerId !== actor.memberId && !rolesIn(actor, at.practiceId).includes('sonographer'))
    throw new AppError(
      'ROLE_MISSING',
      { needs: 'sonographer' },
      {
        message:
          'Only who signed this report, or a sonographer of the practice, can add to it. Ask below the report.',
      },
    );
  const signedAt = services.clock.now();
  const { result } = await computeCase(tx, at.practiceId, at.referralId);
  const sha256 = await freeze(tx, actor, at, {
    kind: 'addendum',
    signedId: ask.signedId,
    text,
    addsTo: report.sha256,
    groupId: row.groupId,
    signedAt,
    deviceSignedAt: ask.deviceSignedAt,
    interpretation: result,
  });
  await recordEvent(tx, actor, {
    practiceId: at.practiceId,
    groupId: row.groupId,
    referralId: at.referralId,
    kind: 'report-addendum.signed',
    data: { signedId: ask.signedId, sha256 },
  });
  await touchReferral(tx, at);
  await tellOfReport(tx, at, { what: 'report-addendum', subjectId: ask.signedId, by: actor, toId: null });
  return { signedId: ask.signedId, sha256 };
}

/** The signed report of a case, without its addenda. */
export async function reportOf(tx: ActorTx, at: ReportPlace) {
  const rows = await tx
    .select()
    .from(signedReports)
    .where(
      and(
        eq(signedReports.practiceId, at.practiceId),
        eq(signedReports.referralId, at.referralId),
        eq(signedReports.kind, 'report'),
      ),
    );
  return rows[0] ?? null;
}

/** A repeated request gets the first one's answer; the same id for another text or another case is refused. */
async function alreadySigned(
  tx: ActorTx,
  at: ReportPlace,
  signedId: string,
  text: ReportText,
): Promise<Signed | null> {
  const there = (
    await tx
      .select()
      .from(signedReports)
      .where(and(eq(signedReports.practiceId, at.practiceId), eq(signedReports.id, signedId)))
  )[0];
  if (!there) return null;
  const same = canonicalText(upgradeReportText(there.fields)) === canonicalText(upgradeReportText(text));
  if (there.referralId !== at.referralId || !same) throw new AppError('ID_IN_USE', {}, { field: 'signedId' });
  return { signedId, sha256: there.sha256 };
}

/** What the person read must be what stands: revisions may differ, since autosaved patches come first, but not a word. */
async function refuseOtherText(tx: ActorTx, at: ReportPlace, ask: SignAsk): Promise<void> {
  const draft = await reportDraftRow(tx, at);
  if (!draft) return;
  const stored = upgradeReportText(draft.fields);
  const seen = upgradeReportText(ask.fields);
  const names = Object.keys(reportFields) as (keyof ReportText)[];
  const fields = names.filter((f) => canonicalText(stored[f]) !== canonicalText(seen[f]));
  if (fields.length === 0) return;
  throw new AppError(
    'REVISION_STALE',
    { what: 'text', fields, yours: ask.draftRevision, now: draft.revision },
    { message: sayReportChanged('text', fields) },
  );
}

/** The question is printed above the findings: one that somebody else changed since must be read first. */
function refuseOtherQuestion(row: ReferralRowDb, base: number, name: string): void {
  const changed = changedByOthers(row, { base, name, fields: ['question', 'history'] });
  if (changed.length > 0)
    throw new AppError(
      'REVISION_STALE',
      { what: 'question', fields: changed },
      { message: sayReportChanged('question') },
    );
}

/** Each act-now flag of now is answered, and one that is set aside says why. */
function refuseUnanswered(interpretation: Interpretation, text: ReportText): void {
  const answers = new Map(text.flagAnswers.map((a) => [a.flagKey, a]));
  const open = interpretation.flags.filter((f) => f.level === 'act-now' && !answers.has(f.key));
  if (open.length > 0)
    throw new AppError(
      'FLAG_UNANSWERED',
      { flagKeys: open.map((f) => f.key) },
      {
        field: 'flagAnswers',
        message:
          'An act-now flag has no answer: let it stand, pass it up to a cardiologist, or set it aside with a reason, then sign.',
      },
    );
  const silent = [...answers.values()].find((a) => a.answer === 'set-aside' && a.reason.trim() === '');
  if (silent)
    throw new AppError(
      'FIELD_INVALID',
      { flagKey: silent.flagKey },
      { field: 'flagAnswers', message: 'flagAnswers: say why a flag is set aside.' },
    );
}

async function freeze(
  tx: ActorTx,
  actor: Member,
  at: ReportPlace,
  what: {
    readonly kind: 'report' | 'addendum';
    readonly signedId: string;
    readonly text: ReportText;
    readonly addsTo: string | null;
    readonly groupId: string | null;
    readonly signedAt: Date;
    readonly deviceSignedAt: string | null;
    readonly interpretation: Interpretation;
  },
): Promise<string> {
  const { interpretation } = what;
  const document = await gatherReport(tx, at, {
    kind: what.kind === 'report' ? 'scan-report' : 'scan-report-addendum',
    text: what.text,
    addsTo: what.addsTo,
    signer: actor,
    signedAt: what.signedAt,
    deviceSignedAt: what.deviceSignedAt,
    interpretation,
  });
  const canonical = canonicalText(document);
  const sha256 = createHash('sha256').update(canonical, 'utf8').digest('hex');
  await tx.insert(signedReports).values({
    practiceId: at.practiceId,
    id: what.signedId,
    groupId: what.groupId,
    referralId: at.referralId,
    kind: what.kind,
    fields: what.text,
    canonicalText: canonical,
    sha256,
    signerId: actor.memberId,
    signerName: actor.name,
    signedAt: what.signedAt,
    deviceSignedAt: what.deviceSignedAt === null ? null : new Date(what.deviceSignedAt),
    engineVersion: interpretation.engine.version,
    inputs: { schema: 1, interpretation, document },
  });
  const { practiceId } = at;
  await enqueue(
    tx,
    'report.render',
    { practiceId, signedId: what.signedId },
    `render-report:${what.signedId}`,
  );
  return sha256;
}
