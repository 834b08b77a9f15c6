import type { ErrorCode } from '@chordae/contract';

type Data = Record<string, unknown>;

/** A piece of an error's data as text; what is no text or number is left out. */
function text(value: unknown, fallback = ''): string {
  return typeof value === 'string' || typeof value === 'number' ? String(value) : fallback;
}

/** Answers of the service that are no success: one sentence per code of the contract, which the compiler holds complete. */
const errors: Record<ErrorCode, (d: Data) => string> = {
  REQUEST_INVALID: () =>
    'The request could not be understood. Reload the page and try again; nothing typed is lost.',
  FIELD_INVALID: (d) => `Something in the input is not right${d['field'] ? `: ${text(d['field'])}` : ''}.`,
  SIGN_IN_FAILED: () => 'Address or password is not right.',
  SIGNED_OUT: () => 'You are not signed in, or the session has ended. Sign in again: nothing typed is lost.',
  PASSWORD_WRONG: () => 'The password is not right. Nothing was signed.',
  ROLE_MISSING: () => 'Your role does not allow this here.',
  ORIGIN_REFUSED: () => 'This request came from another site and was refused.',
  NOT_FOUND: () => 'Not found, or not yours to see.',
  METHOD_NOT_ALLOWED: () => 'This cannot be done at this address.',
  STATE_CHANGED: (d) => `This cannot be changed any more: the referral is ${sayState(text(d['state']))}.`,
  TRANSITION_REFUSED: (d) => `This cannot be done while the referral is ${sayState(text(d['state']))}.`,
  ALREADY_TAKEN: (d) => `${text(d['by'], 'Another cardiologist')} is reading this referral.`,
  ALREADY_SUPERSEDED: () =>
    'This value was replaced by somebody in the meantime. Reload to see the newer one.',
  ID_IN_USE: () => 'This number is in use already. Reload the page and try again.',
  NOT_READY: (d) =>
    NOT_READY[text(d['blocker'] ?? d['what'])]?.(d) ?? 'This is still being prepared. Try again in a moment.',
  IDENTITY_UNRESOLVED: () =>
    'What the files say does not fit the referral. Say why it is right, or take the clips out.',
  FLAG_UNANSWERED: () =>
    'An act-now flag has not been answered. Keep it or set it aside with a reason, then sign.',
  AGREEMENT_MISSING: () => 'Your practice has no agreement with this reading group.',
  REVISION_STALE: () => 'Somebody changed this in the meantime. Reload, look at the change, and do it again.',
  FILE_TOO_LARGE: (d) => `${text(d['fileName'], 'This')} is larger than is taken.`,
  RANGE_REFUSED: () => 'That part of the file does not exist.',
  TOO_MANY_REQUESTS: () => 'Too many tries in a short time. Wait a minute and try again.',
  INTERNAL: () => 'Something went wrong on our side. Nothing that was acknowledged is lost.',
  STARTING: () => 'The service is starting. Try again in a few seconds.',
};

/** What keeps a draft from being sent. */
const NOT_READY: Record<string, (d: Data) => string> = {
  NOTHING_TO_READ: () => 'There is nothing to read yet: add a clip, a measurement or a finding.',
  GROUP_MISSING: () => 'Choose the reading group that shall read it.',
  AGREEMENT_MISSING: () =>
    'As far as this device knows, your practice has no agreement with this reading group.',
  QUESTION_MISSING: () => 'The question is empty: write in one sentence what you want to know.',
  'keeper-page': () => 'A vet of the practice has to release the page for the keeper first.',
  NOT_BLIND: () =>
    'You have read this case or opened it since somebody began to read: a second read has to be blind. Somebody else can do it.',
  MASK_UNDECIDED: (d) =>
    `Clip ${text(d['number'])} may show a name: draw what may leave, or say that no name is in the picture.`,
};

/** Blockers that have words. */
export const blockerCodesInWords: readonly string[] = Object.keys(NOT_READY);

/** A blocker of sending in words. */
export function sayBlocker(code: string, data: Data = {}): string {
  return NOT_READY[code]?.(data) ?? `This is missing before it can be sent (${code}).`;
}

function sayState(state: string): string {
  const words: Record<string, string> = {
    draft: 'a draft',
    sent: 'sent and waiting',
    reading: 'being read',
    'images-wanted': 'waiting for images',
    answered: 'answered',
    closed: 'closed',
    withdrawn: 'withdrawn',
    reported: 'reported on: its scan report is signed',
    filed: 'filed with its scan report',
  };
  return words[state] ?? 'in its present state';
}

/** Problems of typed numbers, as the entry functions give them. */
const entry: Record<string, (d: Data) => string> = {
  NUMBER_NOT_READ: (d) =>
    `'${text(d.text)}' is not a number we can read. Write digits with a point or a comma.`,
  UNIT_MISSING: (d) => `The unit is missing: ${Array.isArray(d.units) ? d.units.join(' or ') : 'say which'}?`,
  UNIT_WRONG_FOR_QUANTITY: (d) =>
    `'${text(d.unit)}' is no unit for this: ${Array.isArray(d.units) ? d.units.join(' or ') : 'say which'}.`,
  VALUE_IMPOSSIBLE: (d) =>
    `${text(d.text, 'This')} is not possible here (${text(d.min)} to ${text(d.max)} ${text(d.unit)}). Check number and unit.`,
};

/** Error codes that have words. */
export const errorCodesInWords: readonly string[] = [...Object.keys(errors), ...Object.keys(entry)];

/** An error code in words; an unknown one is still said, with its code. */
export function sayError(code: string, data: Data = {}): string {
  return (known(code) ?? entry[code])?.(data) ?? `This did not work (${code}).`;
}

function known(code: string): ((d: Data) => string) | undefined {
  return Object.hasOwn(errors, code) ? errors[code as ErrorCode] : undefined;
}
