/** Words of scan reports: what stands on their pages, and the mails that tell of them. */

/** What a scan report is, wherever one is written, signed or read. */
export const REPORT_NOT_SPECIALIST = 'A report by the person who scanned, not a specialist opinion.';

/** Before signing: what the signature means and what it does not. */
export const REPORT_SIGNING =
  'You sign as the person who scanned. The paper says that it is not a specialist opinion. After signing only an addendum can follow.';

/** Decision support, and the patient first: stands wherever a report is signed. */
export const REPORT_CAUTION_LINE =
  'Decision support for licensed veterinary professionals; not a diagnosis. Stabilise a patient in distress first. What cannot wait is said by telephone, not by a report.';

/** A signature given without a network, until the server has taken it. */
export const SIGNATURE_PENDING = 'Signature pending: it counts when the server has confirmed it.';

/** What is made of an act-now flag, in the order of the keys. */
export const flagAnswerNames = {
  kept: 'It stands',
  'passed-up': 'Pass up',
  'set-aside': 'Set aside',
} as const;

/** The same after signing: 'Passed up to a cardiologist'. */
export const flagAnswerSaid = {
  kept: 'It stands',
  'passed-up': 'Passed up to a cardiologist',
  'set-aside': 'Set aside',
} as const;

/** Names of a report's fields in running text, for conflicts and for what changed. */
export const reportFieldNames: Readonly<Record<string, string>> = {
  findings: 'the findings',
  conclusion: 'the conclusion',
  next: 'what to do next',
  notToConclude: 'what is not to be concluded',
  rescan: 'what to scan again',
  keyFrames: 'the key frames',
  recheckOn: 'the day to look again',
  recheckFor: 'what to look again for',
  flagAnswers: 'the answers to flags',
};

/** Why a signature was refused because something changed since the report was read. */
export function sayReportChanged(
  what: 'text' | 'numbers' | 'question',
  fields: readonly string[] = [],
): string {
  if (what === 'numbers')
    return 'Numbers of this case changed after the report was written. Look at them, then sign again. Nothing was signed.';
  if (what === 'question')
    return 'The question or the history was changed by somebody else after the report was written. Read it, then sign again. Nothing was signed.';
  const named = fields.map((f) => reportFieldNames[f] ?? f).join(', ');
  return `The report on the server differs from the one you signed${named === '' ? '' : `: ${named}`}. Read it, then sign again. Nothing was signed.`;
}

export interface ReportMailFacts {
  readonly what: 'report' | 'report-addendum' | 'report-question' | 'report-answer';
  readonly patientName: string;
  readonly number: number;
  readonly practiceName: string;
  /** Who signed, asked or answered. */
  readonly byName: string;
  readonly link: string;
}

/** A mail that something stands there and where; the clinical text itself stays behind the sign-in. */
export function reportMail(f: ReportMailFacts): { subject: string; body: string } {
  const about = `${f.patientName}, number ${f.number} of ${f.practiceName}`;
  const end = `\n\n${f.link}\n\nA scan report is no specialist opinion. A patient in distress is stabilised first; do not wait for a mail.\n`;
  switch (f.what) {
    case 'report':
      return {
        subject: `Scan report signed: ${about}`,
        body: `${f.byName} has signed the scan report on ${about}. Read it, ask back where something is not clear, and file it:${end}`,
      };
    case 'report-addendum':
      return {
        subject: `Addendum to a scan report: ${about}`,
        body: `${f.byName} has added to the scan report on ${about}. Read it before you rely on the report:${end}`,
      };
    case 'report-question':
      return {
        subject: `A question on your scan report: ${about}`,
        body: `${f.byName} has a question on your scan report on ${about}. It can be read and answered here:${end}`,
      };
    case 'report-answer':
      return {
        subject: `An answer on the scan report: ${about}`,
        body: `${f.byName} has answered on the scan report on ${about}:${end}`,
      };
  }
}
