import { type ErrorCode, errorStatus } from '@chordae/contract';

/** The one error that handlers throw on purpose: a code of the closed list, a sentence's data, the field at fault. */
export class AppError extends Error {
  readonly code: ErrorCode;
  readonly details: Record<string, unknown>;
  readonly field: string | null;

  constructor(
    code: ErrorCode,
    details: Record<string, unknown> = {},
    options: { field?: string; cause?: unknown; message?: string } = {},
  ) {
    super(options.message ?? code, { cause: options.cause });
    this.name = 'AppError';
    this.code = code;
    this.details = details;
    this.field = options.field ?? null;
  }

  get status(): number {
    return errorStatus[this.code];
  }
}
