import { call } from '../api';

/** A sentence where this practice has sent the same bytes before; null where it has not, or where nobody can tell now. */
export async function sentBefore(practiceId: string, sha256: string | null): Promise<string | null> {
  if (sha256 === null) return null;
  try {
    const [before] = await call('knownOriginals', { params: { practiceId }, body: { sha256s: [sha256] } });
    if (!before) return null;
    const where = [
      before.patientName ? `for ${before.patientName}` : '',
      before.referralNumber === null ? '' : `in referral ${before.referralNumber}`,
    ];
    return `Already here: sent before ${where.filter(Boolean).join(' ')} as ${before.fileName}. It was not sent again.`;
  } catch {
    // Not knowing is no reason to hold a file back: the server compares again on arrival.
    return null;
  }
}
