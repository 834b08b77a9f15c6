import type { FastifyInstance } from 'fastify';

export interface DemoSession {
  get(url: string): Promise<unknown>;
  put(url: string, body: unknown): Promise<unknown>;
  post(url: string, body: unknown): Promise<unknown>;
  patch(url: string, body: unknown): Promise<unknown>;
}

/** Signs an invented member in by the same route as a browser does, and calls the API without a network. */
export async function demoSession(
  app: FastifyInstance,
  email: string,
  password: string,
): Promise<DemoSession> {
  const signedIn = await app.inject({
    method: 'POST',
    url: '/api/sessions',
    payload: { email, password },
    headers: { host: 'localhost' },
  });
  if (signedIn.statusCode !== 200) throw new Error(`demo: ${email} cannot sign in: ${signedIn.body}`);
  const cookie = signedIn.cookies.map((c) => `${c.name}=${c.value}`).join('; ');
  const call = async (method: 'GET' | 'PUT' | 'POST' | 'PATCH', url: string, body?: unknown) => {
    const reply = await app.inject({
      method,
      url,
      headers: { host: 'localhost', cookie },
      ...(body === undefined ? {} : { payload: body as object }),
    });
    if (reply.statusCode !== 200)
      throw new Error(`demo: ${method} ${url}: ${reply.statusCode} ${reply.body}`);
    return reply.json() as unknown;
  };
  return {
    get: (url) => call('GET', url),
    put: (url, b) => call('PUT', url, b),
    post: (url, b) => call('POST', url, b),
    patch: (url, b) => call('PATCH', url, b),
  };
}
