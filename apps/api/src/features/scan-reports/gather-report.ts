import { type Interpretation, opinionTextOf, type ReportText } from '@chordae/contract';
import { standing } from '@chordae/interpretation';
import { type OpinionDocument, opinionDocument } from '@chordae/report';
import type { Actor, ActorTx } from '../../platform/db/database';
import { rolesIn } from '../../platform/http/route-server';
import { practiceName } from '../accounts';
import { findReferral, patientViewOf, scansOf } from '../cases';
import { measurementsOf } from '../measurements';
import { clipsOnPaper } from '../signatures';
import type { ReportPlace } from './scan-reports.repository';

/** Everything that a scan report's signature covers, or that is shown before it, from what stands in the case now. */
export async function gatherReport(
  tx: ActorTx,
  at: ReportPlace,
  what: {
    readonly kind: 'scan-report' | 'scan-report-addendum';
    readonly text: ReportText;
    readonly addsTo: string | null;
    readonly signer: Actor;
    readonly signedAt: Date;
    readonly deviceSignedAt: string | null;
    readonly interpretation: Interpretation;
  },
): Promise<OpinionDocument> {
  const { practiceId, referralId } = at;
  const referral = await findReferral(tx, practiceId, referralId);
  const scans = await scansOf(tx, practiceId, referralId);
  const practice = await practiceName(tx, practiceId);
  return opinionDocument({
    kind: what.kind,
    text: opinionTextOf(what.text),
    patient:
      referral.patientSent ??
      (await patientViewOf(tx, practiceId, referral.patientId, scans[0]?.scannedOn ?? '')),
    signer: { name: what.signer.name, group: practice, role: roleOf(what.signer, practiceId) },
    signedAt: what.signedAt.toISOString(),
    deviceSignedAt: what.deviceSignedAt,
    scannedOn: scans.at(-1)?.scannedOn ?? null,
    clips: await clipsOnPaper(tx, at),
    referral: {
      number: referral.number,
      practice,
      question: referral.question,
      plan: referral.plan,
      sentAt: null,
    },
    interpretation: what.interpretation,
    standing: standing(await measurementsOf(tx, practiceId, referralId)),
    flagAnswers: what.text.flagAnswers,
    addsTo: what.addsTo,
  });
}

/** What somebody signs as: who is a sonographer here signs as one, also when a vet as well. */
function roleOf(actor: Actor, practiceId: string): 'sonographer' | 'referring-vet' {
  return rolesIn(actor, practiceId).includes('sonographer') ? 'sonographer' : 'referring-vet';
}
