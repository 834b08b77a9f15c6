export interface MailFacts {
  readonly what: 'interim' | 'wish' | 'opinion' | 'message' | 'outcome';
  readonly patientName: string;
  readonly referralNumber: number;
  readonly groupName: string;
  readonly groupPhone: string;
  readonly link: string;
  readonly signerName: string;
}

/** A mail says that something is there and where; the clinical text itself stays behind the sign-in. */
export function mailText(f: MailFacts): { subject: string; body: string } {
  const about = `${f.patientName}, referral ${f.referralNumber}`;
  const phone =
    f.groupPhone === ''
      ? 'No telephone of the reading group is on file.'
      : `Reading group by telephone: ${f.groupPhone}`;
  const end = `\n\n${f.link}\n\n${f.groupName}\n${phone}\n\nA patient in distress is stabilised first; do not wait for a mail or for an opinion.\n`;
  const by = f.signerName;
  switch (f.what) {
    case 'interim':
      return {
        subject: `Read now: interim answer on ${about}`,
        body: `${by} has sent an interim answer on ${about}. Please open it now and confirm that you have read it.${end}`,
      };
    case 'wish':
      return {
        subject: `Views wanted: ${about}`,
        body: `${by} would like some views of ${about} again. Which ones, and how to get them, stands in the referral. New clips go onto the same referral.${end}`,
      };
    case 'message':
      return {
        subject: `A message on ${about}`,
        body: `${by} has written on ${about}. It can be read and answered here:${end}`,
      };
    case 'outcome':
      return {
        subject: `What became of ${f.patientName}? One question on referral ${f.referralNumber}`,
        body: `Two weeks ago the opinion on ${about} was signed. What became of the patient? One answer helps the readers to learn; it takes a touch:${end}`,
      };
    case 'opinion':
      return {
        subject: `Opinion signed: ${about}`,
        body: `${by} has signed the opinion on ${about}. It can be read and downloaded here:${end}`,
      };
  }
}

/** To a reading group whose practice has asked something on a referral. */
export function questionMail(f: {
  readonly patientName: string;
  readonly referralNumber: number;
  readonly practiceName: string;
  readonly practicePhone: string;
  readonly link: string;
}): { subject: string; body: string } {
  const about = `${f.patientName}, referral ${f.referralNumber}`;
  const phone =
    f.practicePhone === ''
      ? 'No telephone of the practice is on file.'
      : `Practice by telephone: ${f.practicePhone}`;
  return {
    subject: `A question on ${about}`,
    body: `${f.practiceName} has written on ${about}. It can be read and answered here:\n\n${f.link}\n\n${phone}\n`,
  };
}

/** An emergency that nobody has taken: to the readers, and to the practice that waits. */
export function emergencyMail(f: {
  readonly to: 'group' | 'practice';
  readonly patientName: string;
  readonly referralNumber: number;
  readonly minutes: number;
  readonly practiceName: string;
  readonly practicePhone: string;
  readonly groupName: string;
  readonly groupPhone: string;
  readonly emergencyContact: string;
  readonly link: string;
}): { subject: string; body: string } {
  const about = `${f.patientName}, referral ${f.referralNumber}`;
  const phone = (number: string) => (number === '' ? 'No telephone is on file.' : `Telephone: ${number}`);
  if (f.to === 'group')
    return {
      subject: `Emergency, nobody reads it: ${about}`,
      body: `An emergency of ${f.practiceName} has waited ${f.minutes} min and nobody has taken it: ${about}. Please take it, or telephone the practice.\n\n${f.link}\n\n${phone(f.practicePhone)}\n`,
    };
  return {
    subject: `Nobody reads it yet: ${about}`,
    body: `${about} was sent as an emergency ${f.minutes} min ago and nobody at ${f.groupName} has taken it. Treat on your own judgement; do not wait for an answer. Telephone the readers.\n\n${phone(f.groupPhone)}\nNearest emergency contact: ${f.emergencyContact}\n\n${f.link}\n`,
  };
}
