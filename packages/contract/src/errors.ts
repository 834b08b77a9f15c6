import { z } from 'zod';

/** HTTP status per error code. A new code does not compile until it stands here; DEVELOPERS.md's table is tied to it by a test. */
export const errorStatus = {
  REQUEST_INVALID: 400,
  FIELD_INVALID: 400,
  SIGN_IN_FAILED: 401,
  SIGNED_OUT: 401,
  PASSWORD_WRONG: 403,
  ROLE_MISSING: 403,
  ORIGIN_REFUSED: 403,
  NOT_FOUND: 404,
  METHOD_NOT_ALLOWED: 405,
  STATE_CHANGED: 409,
  TRANSITION_REFUSED: 409,
  ALREADY_TAKEN: 409,
  ALREADY_SUPERSEDED: 409,
  ID_IN_USE: 409,
  NOT_READY: 409,
  IDENTITY_UNRESOLVED: 409,
  FLAG_UNANSWERED: 409,
  AGREEMENT_MISSING: 409,
  REVISION_STALE: 412,
  FILE_TOO_LARGE: 413,
  RANGE_REFUSED: 416,
  TOO_MANY_REQUESTS: 429,
  INTERNAL: 500,
  STARTING: 503,
} as const satisfies Record<string, number>;

export type ErrorCode = keyof typeof errorStatus;
export const errorCode = z.enum(Object.keys(errorStatus) as [ErrorCode, ...ErrorCode[]]);

/** Body of every reply that is not a success. `message` is the sentence in the reader's language. */
export const errorReply = z.object({
  code: errorCode,
  message: z.string(),
  /** Dotted path of the field at fault, if one is. */
  field: z.string().nullable(),
  details: z.record(z.string(), z.unknown()),
  requestId: z.string(),
});
export type ErrorReply = z.infer<typeof errorReply>;
