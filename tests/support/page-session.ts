import type { Page } from 'playwright-core';
import type { Session } from './world';

/** A session that speaks through a page's own cookies. */
export function pageSession(page: Page): Session {
  const call: Session['call'] = async (method, url, body) => {
    const reply = await page
      .context()
      .request.fetch(url, { method, ...(body === undefined ? {} : { data: body }) });
    const raw = await reply.text();
    return {
      status: reply.status(),
      body: (/^[[{]/.test(raw) ? JSON.parse(raw) : undefined) as never,
      raw,
      headers: reply.headers(),
      bytes: Buffer.from(raw),
    };
  };
  return {
    cookie: '',
    call,
    get: (url) => call('GET', url),
    put: (url, b) => call('PUT', url, b),
    post: (url, b) => call('POST', url, b),
    patch: (url, b) => call('PATCH', url, b),
  };
}
