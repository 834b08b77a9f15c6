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
