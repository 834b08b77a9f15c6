import {
  type Interpretation,
  isFilmed,
  type OpinionText,
  standingStatement,
  type ViewId,
} from '@chordae/contract';
import { standing } from '@chordae/interpretation';
import { type OpinionDocument, opinionDocument } from '@chordae/report';
import type { ActorTx } from '../../platform/db/database';
import type { CaseRef } from '../../platform/http/route-server';
import { findAgreement } from '../accounts';
import { findReferral, groupOf, scansOf } from '../cases';
import { clipsOf, statementsOf } from '../clips';
import { measurementsOf } from '../measurements';
import { flagAnswersOf } from '../opinions';

/** Everything that is signed, or shown before it is signed, from what stands in the case now. */
export async function gatherDocument(
  tx: ActorTx,
  onCase: CaseRef,
  what: {
    readonly kind: 'opinion' | 'addendum';
    readonly text: OpinionText;
    readonly addsTo: string | null;
    readonly signerName: string;
    readonly at: Date;
    readonly interpretation: Interpretation;
  },
): Promise<OpinionDocument> {
  const { practiceId, referralId } = onCase;
  const referral = await findReferral(tx, practiceId, referralId);
  if (!referral.patientSent) throw new Error('a sent referral keeps its patient');
  const agreement = await findAgreement(tx, practiceId, groupOf(onCase));
  const scans = await scansOf(tx, practiceId, referralId);
  return opinionDocument({
    kind: what.kind,
    text: what.text,
    patient: referral.patientSent,
    signer: { name: what.signerName, group: agreement.groupName },
    signedAt: what.at.toISOString(),
    scannedOn: scans.at(-1)?.scannedOn ?? null,
    clips: await clipsOnPaper(tx, onCase),
    referral: {
      number: referral.number,
      practice: agreement.practiceName,
      question: referral.question,
      plan: referral.plan,
      sentAt: referral.sentAt?.toISOString() ?? null,
    },
    interpretation: what.interpretation,
    standing: standing(await measurementsOf(tx, practiceId, referralId)),
    flagAnswers: await flagAnswersOf(tx, practiceId, referralId),
    addsTo: what.addsTo,
  });
}

/** The clips of a case by the number and the view that a paper names them with. */
export async function clipsOnPaper(
  tx: ActorTx,
  { practiceId, referralId }: Pick<CaseRef, 'practiceId' | 'referralId'>,
): Promise<{ id: string; number: number; view: ViewId | null; filmed: boolean }[]> {
  const statements = await statementsOf(tx, practiceId, referralId);
  const clips = await clipsOf(tx, practiceId, referralId);
  return clips.map(({ id, number, view }) => ({
    id,
    number,
    view: standingStatement(statements, id, 'judgement')?.statement.view ?? view,
    filmed: isFilmed(statements, id),
  }));
}
