import type { FastifyReply, FastifyRequest } from 'fastify';

const SECURE = '__Host-chordae';
const PLAIN = 'chordae';

/** Browsers keep a Secure cookie on https and on loopback; on a plain LAN address they drop it. */
function isSecure(request: FastifyRequest): boolean {
  const host = request.hostname.replace(/:\d+$/, '');
  return request.protocol === 'https' || host === 'localhost' || host === '127.0.0.1' || host === '[::1]';
}

export function sessionToken(request: FastifyRequest): string | null {
  return request.cookies[SECURE] ?? request.cookies[PLAIN] ?? null;
}

/** A machine's key, from its own header; null when there is none. */
export function machineKeyOf(request: FastifyRequest): string | null {
  return /^Bearer (chordae-[\w-]{20,200})$/.exec(request.headers.authorization ?? '')?.[1] ?? null;
}

export function setSession(request: FastifyRequest, reply: FastifyReply, token: string, until: Date): void {
  const secure = isSecure(request);
  reply.setCookie(secure ? SECURE : PLAIN, token, {
    path: '/',
    httpOnly: true,
    sameSite: 'lax',
    secure,
    expires: until,
  });
}

export function clearSession(reply: FastifyReply): void {
  reply.clearCookie(SECURE, { path: '/', secure: true, httpOnly: true, sameSite: 'lax' });
  reply.clearCookie(PLAIN, { path: '/' });
}
