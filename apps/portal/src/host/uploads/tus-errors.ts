import { ApiError, isPassing } from '../api';

/** What the upload library's errors carry: the reply, where there was one. */
export function responseOf(error: unknown): { getStatus(): number; getBody(): string } | null {
  const found = (error as { originalResponse?: { getStatus(): number; getBody(): string } | null })
    ?.originalResponse;
  return found ?? null;
}
export function statusOf(error: unknown): number | null {
  return responseOf(error)?.getStatus() ?? null;
}
export function bodySentence(error: unknown): string | null {
  try {
    const reply = JSON.parse(responseOf(error)?.getBody() ?? '') as { message?: unknown };
    return typeof reply.message === 'string' ? reply.message : null;
  } catch {
    return null;
  }
}

/** What a failed upload means: signing in again, waiting for a line, or a sentence for the sender. */
export function whyFailed(error: unknown): 'signed-out' | 'cut' | (string & {}) {
  if (statusOf(error) === 401 || (error instanceof ApiError && error.code === 'SIGNED_OUT'))
    return 'signed-out';
  if (error instanceof ApiError) return isPassing(error) ? 'cut' : error.message;
  const status = statusOf(error);
  // No answer, a service that stumbles, or an upload whose cut connection the server has not noticed yet: it may pass.
  if (status === null || status === 423 || status === 429 || status >= 500) return 'cut';
  if (status === 409 && bodySentence(error) === null) return 'cut';
  return bodySentence(error) ?? 'The line was cut. What has arrived is kept; it goes on from there.';
}
