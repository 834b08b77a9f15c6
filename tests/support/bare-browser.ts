import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Readable, Writable } from 'node:stream';
import { BROWSER_ARGS, browserProgram } from './browser';

interface Reply {
  readonly id?: number;
  readonly method?: string;
  readonly result?: Record<string, unknown>;
  readonly error?: { readonly message: string };
}

/**
 * A browser with nothing listening to its network. The usual driver records requests, and for it the page's own process
 * keeps up to 200 MB of what it fetched; a person's browser keeps none of that. For figures of memory only.
 */
export class BareBrowser {
  private readonly waiting = new Map<number, (reply: Reply) => void>();
  private readonly closed: Promise<unknown>;
  private counter = 0;
  private rest = '';

  private constructor(
    private readonly child: ChildProcess,
    private readonly folder: string,
  ) {
    this.closed = new Promise((resolve) => child.once('exit', resolve));
    (child.stdio[4] as Readable).setEncoding('utf8').on('data', (text: string) => {
      const parts = (this.rest + text).split('\0');
      this.rest = parts.pop() ?? '';
      for (const part of parts) {
        const reply = JSON.parse(part) as Reply;
        this.waiting.get(reply.id ?? 0)?.(reply);
      }
    });
  }

  static async launch(): Promise<BareBrowser> {
    const folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-bare-'));
    const child = spawn(
      await browserProgram(),
      [...BROWSER_ARGS, '--headless', '--remote-debugging-pipe', `--user-data-dir=${folder}`],
      { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] },
    );
    return new BareBrowser(child, folder);
  }

  /** Sends one message of the debugging protocol and waits for its answer. */
  async ask(method: string, params: object = {}, sessionId?: string): Promise<Record<string, unknown>> {
    const id = (this.counter += 1);
    const answered = new Promise<Reply>((resolve) => this.waiting.set(id, resolve));
    (this.child.stdio[3] as Writable).write(`${JSON.stringify({ id, method, params, sessionId })}\0`);
    const reply = await Promise.race([answered, this.closed.then(() => null)]);
    this.waiting.delete(id);
    if (!reply) throw new Error('the browser has gone');
    if (reply.error) throw new Error(`${method}: ${reply.error.message}`);
    return reply.result ?? {};
  }

  /** A new page of a given size, at an address. */
  async open(url: string, width: number, height: number): Promise<BarePage> {
    const { targetId } = await this.ask('Target.createTarget', { url: 'about:blank' });
    const { sessionId } = await this.ask('Target.attachToTarget', { targetId, flatten: true });
    const page = new BarePage(this, String(sessionId));
    await page.sized(width, height);
    await page.goto(url);
    return page;
  }

  async processes(): Promise<readonly { readonly type: string; readonly id: number }[]> {
    const { processInfo } = await this.ask('SystemInfo.getProcessInfo');
    return processInfo as { type: string; id: number }[];
  }

  async close(): Promise<void> {
    this.child.kill('SIGKILL');
    await this.closed;
    // Its helpers may still write for a moment.
    rmSync(this.folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 });
  }
}

/** One page of such a browser: only code is run in it. */
export class BarePage {
  constructor(
    private readonly browser: BareBrowser,
    private readonly sessionId: string,
  ) {}

  /** Runs an expression in the page, waits for what it promises, and gives its value. */
  async run(expression: string): Promise<unknown> {
    const reply = await this.browser.ask(
      'Runtime.evaluate',
      { expression, awaitPromise: true, returnByValue: true, userGesture: true },
      this.sessionId,
    );
    const { result, exceptionDetails } = reply as {
      result: { value?: unknown };
      exceptionDetails?: { exception?: { description?: string }; text: string };
    };
    if (exceptionDetails) throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
    return result.value;
  }

  async sized(width: number, height: number): Promise<void> {
    const metrics = { width, height, deviceScaleFactor: 1, mobile: false };
    await this.browser.ask('Emulation.setDeviceMetricsOverride', metrics, this.sessionId);
  }

  async goto(url: string): Promise<void> {
    await this.browser.ask('Page.navigate', { url }, this.sessionId);
  }

  /** Waits until an expression is true. */
  async until(expression: string, mostMs = 60_000): Promise<void> {
    const end = Date.now() + mostMs;
    // While a page is exchanged for another there is nothing to ask.
    while ((await this.run(expression).catch(() => false)) !== true) {
      if (Date.now() > end) throw new Error(`it did not come: ${expression}`);
      await new Promise((r) => setTimeout(r, 100));
    }
  }
}
