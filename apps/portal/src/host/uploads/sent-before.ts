import { call, type ReplyOf } from '../api';

export type KnownFile = Pick<ReplyOf<'knownOriginals'>[number], 'sha256' | 'patientName' | 'referralNumber'>;

/** For whom and in which referral it was sent: 'for Pip in referral 8'. */
export function sayWhereSent({ patientName, referralNumber }: KnownFile): string {
  return [
    patientName ? `for ${patientName}` : '',
    referralNumber === null ? '' : `in referral ${referralNumber}`,
  ]
    .filter(Boolean)
    .join(' ');
}

/** A sentence where this practice has sent the same bytes before; null where it has not, or where nobody can tell now. */
export async function sentBefore(practiceId: string, sha256: string | null): Promise<string | null> {
  if (sha256 === null) return null;
  try {
    const [before] = await call('knownOriginals', { params: { practiceId }, body: { sha256s: [sha256] } });
    if (!before) return null;
    return `Already here: sent before ${sayWhereSent(before)} as ${before.fileName}. It was not sent again.`;
  } catch {
    // Not knowing is no reason to hold a file back: the server compares again on arrival.
    return null;
  }
}
