type Data = Record<string, unknown>;

/** A piece of an error's data as text; what is no text or number is left out. */
function text(value: unknown, fallback = ''): string {
  return typeof value === 'string' || typeof value === 'number' ? String(value) : fallback;
}

/** Answers of the service that are no success. The list is completed as error codes are added to the contract. */
const errors: Record<string, (d: Data) => string> = {
  NOT_SIGNED_IN: () =>
    'You are not signed in, or the session has ended. Sign in again: nothing typed is lost.',
  SIGN_IN_REFUSED: () => 'Name or password is not right.',
  FORBIDDEN: () => 'You may not do this here.',
  NOT_FOUND: () => 'Not found, or not yours to see.',
  INPUT_INVALID: (d) => `Something in the input is not right${d.field ? `: ${text(d.field)}` : ''}.`,
  REVISION_CONFLICT: () => 'Somebody changed this in the meantime. Both versions are kept: look and choose.',
  TRANSITION_NOT_ALLOWED: (d) =>
    `This cannot be done while the referral is ${text(d.state, 'in its present state')}.`,
  TOO_LARGE: () => 'This is larger than is taken.',
  TOO_MANY_REQUESTS: () => 'Too many tries in a short time. Wait a moment and try again.',
  INTERNAL: (d) =>
    `Something went wrong on our side${d.requestId ? ` (${text(d.requestId)})` : ''}. Nothing that was acknowledged is lost.`,
  UNAVAILABLE: () => 'The service cannot be reached at the moment. It is tried again by itself.',
};

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
  return (errors[code] ?? entry[code])?.(data) ?? `This did not work (${code}).`;
}
