import type { CaseView, Me } from '@chordae/contract';
import { useMe } from '../../host/session';

/**
 * Whom a flag tells to telephone: the readers of the case; of a scan about which nobody was asked yet, those with whom the
 * practice has an agreement.
 */
export function reachOf(c: CaseView, me: Me | null): { phone: string | null; contact: string | null } {
  const all = c.agreement
    ? [c.agreement]
    : (me?.agreements ?? []).filter((a) => a.practiceId === c.referral.practiceId);
  const several = all.length > 1;
  const phones = all.flatMap((a) =>
    a.groupPhone ? [several ? `${a.groupPhone} (${a.groupName})` : a.groupPhone] : [],
  );
  return {
    phone: phones.length > 0 ? phones.join(' or ') : null,
    contact: all.find((a) => a.emergencyContact !== '')?.emergencyContact ?? null,
  };
}

export function useReach(c: CaseView): ReturnType<typeof reachOf> {
  return reachOf(c, useMe());
}

/** A number to be pressed. */
export function PhoneLink({ phone }: { phone: string }) {
  return <a href={`tel:${phone.replace(/\s/g, '')}`}>{phone}</a>;
}

/** Whom to telephone, where an answer cannot be waited for. */
export function Telephones({
  phone,
  groupName,
  contact,
}: {
  phone: string | null;
  groupName: string;
  contact: string | null;
}) {
  return (
    <p>
      {phone ? (
        <>
          Telephone {groupName || 'the readers'}: <PhoneLink phone={phone} />.{' '}
        </>
      ) : (
        'No telephone of the readers is on file. '
      )}
      {contact ? `Nearest emergency contact: ${contact}.` : ''}
    </p>
  );
}
