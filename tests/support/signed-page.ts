import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { PATIENCE_MS } from './browser';
import { PASSWORD } from './world';

export interface SignedPageOptions extends BrowserContextOptions {
  /** Collects what the page throws, with who saw it. */
  readonly faults?: string[];
}

/**
 * A page in a context of its own, signed in by its cookies; nobody is signed in where `email` is null. It asks for no motion
 * unless told otherwise: clips that loop unseen cost the machine more than all else.
 */
export async function signedPage(
  browser: Browser,
  url: string,
  email: string | null,
  { faults, ...context }: SignedPageOptions = {},
): Promise<Page> {
  const own = await browser.newContext({
    locale: 'en-GB',
    viewport: { width: 1440, height: 900 },
    baseURL: url,
    reducedMotion: 'reduce',
    ...context,
  });
  if (email !== null) {
    const reply = await own.request.post('/api/sessions', { data: { email, password: PASSWORD } });
    if (reply.status() !== 200) throw new Error(`${email} was not let in: ${await reply.text()}`);
  }
  const page = await own.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  page.on('pageerror', (error) => faults?.push(`${email}: ${String(error)}`));
  return page;
}
