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
