import { PASSWORD, type Session } from '../support/world';

/** A person signed in over real HTTP, for the helpers that otherwise inject their requests. */
export async function httpSession(url: string, email: string): Promise<Session> {
  const reply = await fetch(`${url}/api/sessions`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email, password: PASSWORD }),
  });
  if (!reply.ok) throw new Error(`sign-in: ${reply.status} ${await reply.text()}`);
  const cookie = reply.headers
    .getSetCookie()
    .map((one) => one.split(';')[0])
    .join('; ');
  const call: Session['call'] = async (method, place, body, headers = {}) => {
    const answer = await fetch(`${url}${place}`, {
      method,
      headers: { cookie, ...(body === undefined ? {} : { 'content-type': 'application/json' }), ...headers },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    const bytes = Buffer.from(await answer.arrayBuffer());
    const raw = bytes.toString('utf8');
    const isJson = raw !== '' && (answer.headers.get('content-type') ?? '').includes('json');
    return {
      status: answer.status,
      body: (isJson ? JSON.parse(raw) : undefined) as never,
      raw,
      headers: Object.fromEntries(answer.headers),
      bytes,
    };
  };
  return {
    cookie,
    call,
    get: (place) => call('GET', place),
    put: (place, body) => call('PUT', place, body),
    post: (place, body) => call('POST', place, body),
    patch: (place, body) => call('PATCH', place, body),
  };
}
