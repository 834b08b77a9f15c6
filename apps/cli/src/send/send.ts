import { randomBytes } from 'node:crypto';
import { readFileSync, statSync } from 'node:fs';
import { setTimeout as wait } from 'node:timers/promises';
import { formatBytes } from '@chordae/words';
import { type Asked, readAsked } from './asked';
import { type FileOutcome, sendFolder } from './send-folder';
import { openSentState, type SentState } from './sent-state';
import { Refused, serverAt } from './server';
import { sayWhy } from './where-to';

/** After a pass that could not reach the server, or was refused: so many pauses. */
const LATER = 5;

export interface SendOut {
  /** CHORDAE_SERVER and CHORDAE_KEY, where they are set. */
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly print: (line: string) => void;
  readonly complain: (line: string) => void;
  /** Draws one line over the last; null where the output is no terminal. */
  readonly draw: ((line: string) => void) | null;
}

/**
 * `chordae send FOLDER --server URL --key-file FILE [--referral N] [--watch] [--pause SECONDS] [--quiet] [--json] [--state FILE]`.
 * Exit code 0: all that fits a case is there; 1: something failed or waits for a person; 2: asked wrongly.
 */
export async function send(args: string[], out: SendOut, stop?: AbortSignal): Promise<number> {
  const ask = () => readAsked(args, out.env, readText);
  const first = ask();
  if (typeof first === 'string') {
    out.complain(`chordae send: ${first}`);
    return 2;
  }
  if (!statSync(first.folder, { throwIfNoEntry: false })?.isDirectory()) {
    out.complain(`chordae send: ${first.folder} is no folder that can be read.`);
    return 2;
  }
  const said = new Set<string>();
  const complainOnce = (line: string) => {
    if (!said.has(line)) out.complain(line);
    said.add(line);
  };
  // One for the whole run: what could not be written down is at least not forgotten while it runs.
  const state = openSentState(first.stateFile, (why) =>
    complainOnce(
      `chordae send: what has been sent cannot be kept in ${first.stateFile} (${why}). Files are sent all the same; make room, or after a restart some are looked at again.`,
    ),
  );
  for (;;) {
    // The key is read anew: one that was revoked may be replaced while the folder is watched.
    const asked = ask();
    const code = typeof asked === 'string' ? 3 : await onePass(asked, out, state, said);
    if (typeof asked === 'string') complainOnce(`chordae send: ${asked}`);
    if (!first.watch || stop?.aborted) return code;
    const pauseMs = first.pauseMs * (code === 3 ? LATER : 1);
    await wait(pauseMs, undefined, stop ? { signal: stop } : {}).catch(() => undefined);
    if (stop?.aborted) return 0;
  }
}

function readText(file: string): string | null {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return null;
  }
}

/** 0 done, 1 something waits or failed, 3 the server was not reached. */
async function onePass(asked: Asked, out: SendOut, state: SentState, said: Set<string>): Promise<number> {
  let open = 0;
  const ports = {
    server: serverAt(asked.server, asked.key),
    state,
    newId: uuidv7,
    nowMs: () => Date.now(),
  };
  const done = (o: FileOutcome) => {
    if (o.outcome === 'waits' || o.outcome === 'failed' || o.outcome === 'growing') open += 1;
    const line = asked.json ? JSON.stringify(o) : sayOutcome(o);
    // A watched folder says each thing once, not in every pass.
    if (line === null || (asked.watch && said.has(line))) return;
    said.add(line);
    if (o.outcome === 'failed') out.complain(line);
    else if (!asked.quiet) out.print(line);
  };
  try {
    await sendFolder(
      ports,
      asked,
      ({ file, sent, of }) => {
        if (!asked.quiet && !asked.json) out.draw?.(bar(file, sent, of));
      },
      done,
    );
  } catch (error) {
    const line = `chordae send: ${error instanceof Error ? error.message : String(error)}`;
    if (!asked.watch || !said.has(line)) out.complain(line);
    said.add(line);
    if (error instanceof Refused && !asked.watch) return 1;
    return asked.watch ? 3 : 1;
  }
  return open === 0 ? 0 : 1;
}

function sayOutcome(o: FileOutcome): string | null {
  switch (o.outcome) {
    case 'sent':
      return `sent    ${o.file}, ${formatBytes(o.bytes)}, to referral ${o.referral}`;
    case 'known':
      return `there   ${o.file}: the practice has sent it before`;
    case 'waits':
      return `waits   ${o.file}: ${sayWhy(o.why as Parameters<typeof sayWhy>[0])}`;
    case 'no-image':
      return `left    ${o.file}: no image`;
    case 'failed':
      return `failed  ${o.file}: ${o.why}`;
    default:
      return null;
  }
}

const WIDTH = 24;
function bar(file: string, sent: number, of: number): string {
  const full = of === 0 ? WIDTH : Math.round((sent / of) * WIDTH);
  return `${'#'.repeat(full)}${'.'.repeat(WIDTH - full)} ${Math.round((100 * sent) / Math.max(1, of))} % ${file}`;
}

/** Time first, so that ids sort as they were made. */
function uuidv7(): string {
  const bytes = randomBytes(16);
  bytes.writeUIntBE(Date.now(), 0, 6);
  bytes[6] = 0x70 | ((bytes[6] ?? 0) & 0x0f);
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  const hex = bytes.toString('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
