import { randomUUID } from 'node:crypto';
import { type ErrorCode, type ErrorReply, errorStatus } from '@chordae/contract';
import { sayError } from '@chordae/words';
import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { hasZodFastifySchemaValidationErrors, isResponseSerializationError } from 'fastify-type-provider-zod';
import { AppError } from '../app-error';
import type { Log } from '../log';

/** One place turns whatever was thrown into a code, a sentence and a status. 5xx carry nothing but the request's id. */
export function handleErrors(app: FastifyInstance, log: Log): void {
  app.setErrorHandler((error: FastifyError, request, reply) => {
    const found = classify(error);
    if (errorStatus[found.code] >= 500)
      log.error({ error, requestId: request.id, url: request.url }, 'request failed');
    return send(reply, request, found);
  });
  app.setNotFoundHandler((request, reply) =>
    send(reply, request, { code: 'NOT_FOUND', field: null, details: {} }),
  );
}

interface Found {
  code: ErrorCode;
  field: string | null;
  details: Record<string, unknown>;
  sentence?: string;
}

function send(reply: FastifyReply, request: FastifyRequest, found: Found) {
  const hidden = errorStatus[found.code] >= 500;
  const body: ErrorReply = {
    code: found.code,
    message: found.sentence ?? sayError(found.code, { ...found.details, field: found.field ?? '' }),
    field: hidden ? null : found.field,
    details: hidden ? {} : found.details,
    requestId: request.id,
  };
  return reply.status(errorStatus[found.code]).type('application/json').send(JSON.stringify(body));
}

export function classify(error: FastifyError): Found {
  if (error instanceof AppError) {
    return {
      code: error.code,
      field: error.field,
      details: error.details,
      ...(error.message !== error.code ? { sentence: error.message } : {}),
    };
  }
  if (hasZodFastifySchemaValidationErrors(error)) {
    const first = error.validation[0];
    const field = (first?.instancePath ?? '').replace(/^\//, '').replaceAll('/', '.');
    const says = first?.message ?? 'not understood';
    return {
      code: 'FIELD_INVALID',
      field: field || null,
      details: { says },
      sentence: `${field || 'The request'}: ${says}.`,
    };
  }
  if (isResponseSerializationError(error)) return { code: 'INTERNAL', field: null, details: {} };
  return fromDatabase(error) ?? fromFastify(error);
}

/** A value that its column cannot hold: not a number or id, no such day, beyond the range, a character that text or JSON cannot keep. */
const NOT_A_VALUE = new Set(['22P02', '22P05', '22003', '22007', '22008', '22021']);

/** Errors of Postgres that a request can cause. drizzle wraps them, so the cause is looked at as well. */
function fromDatabase(error: unknown): Found | null {
  const candidates = [error, (error as { cause?: unknown }).cause] as {
    code?: string;
    constraint_name?: string;
  }[];
  for (const e of candidates) {
    if (e?.code === '23505') {
      const fork = /supersedes/.test(e.constraint_name ?? '');
      return { code: fork ? 'ALREADY_SUPERSEDED' : 'ID_IN_USE', field: null, details: {} };
    }
    if (e?.code === '23503' || e?.code === '42501') return { code: 'NOT_FOUND', field: null, details: {} };
    if (e?.code && NOT_A_VALUE.has(e.code)) return { code: 'REQUEST_INVALID', field: null, details: {} };
  }
  return null;
}

function fromFastify(error: FastifyError): Found {
  const status = error.statusCode ?? 500;
  if (status === 429) return { code: 'TOO_MANY_REQUESTS', field: null, details: {} };
  if (status === 413) return { code: 'FILE_TOO_LARGE', field: null, details: {} };
  if (status >= 400 && status < 500)
    return { code: 'REQUEST_INVALID', field: null, details: { says: error.message } };
  return { code: 'INTERNAL', field: null, details: { id: randomUUID() } };
}
