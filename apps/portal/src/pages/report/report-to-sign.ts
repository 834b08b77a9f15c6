import type { CaseView, ReportText } from '@chordae/contract';

/**
 * Everything that a signature names but the password: what may wait on this device for a network. The password is asked
 * for when it is confirmed, and kept nowhere.
 */
export function reportToSign(seen: {
  readonly c: CaseView;
  readonly fields: ReportText;
  readonly draftRevision: number;
  readonly numbersHash: string;
  readonly signedId: string;
  readonly now: Date;
}) {
  return {
    base: seen.c.referral.revision,
    draftRevision: seen.draftRevision,
    fields: seen.fields,
    inputHash: seen.numbersHash,
    signedId: seen.signedId,
    deviceSignedAt: seen.now.toISOString(),
  };
}
