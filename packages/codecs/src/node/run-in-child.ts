import type { ChildProcess, Serializable } from 'node:child_process';
import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { DecoderLimits, ReadOriginalOutcome, ReadOriginalRequest, WrittenPack } from '../reading';
import { usualLimits } from '../reading';
import { activeGuards, unshareArguments } from './guards';

export interface ChildOptions {
  /** The decoder entry: built to one file by the app's bundler; by default the source beside this file (needs a TypeScript loader). */
  readonly entry?: URL | string;
  /** Flags for Node before the entry, such as a loader in development. */
  readonly nodeArguments?: readonly string[];
  readonly limits?: Partial<DecoderLimits>;
  /** The own pack stands; the outgoing one may still be in the making. */
  readonly onOwn?: (own: WrittenPack) => void;
}

type FromChild =
  | { readonly kind: 'own'; readonly own: WrittenPack }
  | { readonly kind: 'result'; readonly result: unknown };

/** How often memory is looked at; a runaway allocation of 1 GB/s is seen within about 100 MB. */
const watchEveryMs = 100;

/**
 * Reads an original in a process of its own with bounded heap, resident memory, wall time and output, an emptied
 * environment, and no network where that can be had. Never rejects for what a file does: DECODER_TIMED_OUT,
 * DECODER_OUT_OF_MEMORY, DECODER_CRASHED, or the reader's own problem.
 */
export async function readOriginalInChild<R extends ReadOriginalRequest>(
  request: R,
  options: ChildOptions = {},
): Promise<ReadOriginalOutcome<R>> {
  const outcome = await askChild(request, options);
  if ('result' in outcome) return outcome.result as ReadOriginalOutcome<R>;
  await removeParts(request);
  return { ok: false, problem: { code: outcome.code, data: {} } } as ReadOriginalOutcome<R>;
}

/**
 * Gives one request to a program of the caller's (`options.entry`) under the same bounds. The program takes
 * `{ request }` over IPC and answers `{ kind: 'result', result }` once; otherwise the code says what ended it.
 */
export async function askChild(
  request: unknown,
  options: ChildOptions,
): Promise<{ readonly result: unknown } | { readonly code: string }> {
  const limits = { ...usualLimits, ...options.limits };
  const scratch = await mkdtemp(join(tmpdir(), 'chordae-decoder-'));
  const child = start(options, limits, scratch);
  let answer: { readonly result: unknown } | null = null;
  let killedFor: string | null = null;
  let complaint = '';
  const kill = (code: string): void => {
    killedFor ??= code;
    child.kill('SIGKILL');
  };
  const clock = setTimeout(() => kill('DECODER_TIMED_OUT'), limits.wallMs);
  const watch = setInterval(
    () => void lookAtMemory(child, limits.rssMb, () => kill('DECODER_OUT_OF_MEMORY')),
    watchEveryMs,
  );
  child.stderr?.on('data', (piece: Buffer) => {
    if (complaint.length < 4096) complaint += piece.toString('utf8');
  });
  child.on('message', (message: FromChild) => {
    if (message.kind === 'own') options.onOwn?.(message.own);
    else answer = { result: message.result };
  });
  await new Promise<void>((resolve) => {
    child.once('error', () => resolve());
    child.once('close', () => resolve());
    child.send({ request, outputMb: limits.outputMb } as Serializable, (error) => {
      if (error !== null) child.kill('SIGKILL');
    });
  });
  clearTimeout(clock);
  clearInterval(watch);
  await rm(scratch, { recursive: true, force: true });
  if (answer !== null) return answer;
  const outOfMemory = /heap out of memory|heap limit/i.test(complaint);
  return { code: killedFor ?? (outOfMemory ? 'DECODER_OUT_OF_MEMORY' : 'DECODER_CRASHED') };
}

function start(options: ChildOptions, limits: DecoderLimits, scratch: string): ChildProcess {
  const entry = options.entry ?? new URL('./decoder-process.ts', import.meta.url);
  const path = entry instanceof URL ? fileURLToPath(entry) : entry;
  const node = [`--max-old-space-size=${limits.heapMb}`, ...(options.nodeArguments ?? []), path];
  const flags = activeGuards().noNetwork ? unshareArguments() : null;
  const command = flags === null ? process.execPath : 'unshare';
  const parameters = flags === null ? node : [...flags, process.execPath, ...node];
  return spawn(command, parameters, {
    stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    serialization: 'advanced',
    // Nothing of the parent's environment: it holds addresses and secrets. PATH finds `unshare`; threads are bounded.
    env: {
      PATH: '/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin',
      UV_THREADPOOL_SIZE: '2',
      MALLOC_ARENA_MAX: '2',
      // Its own place for unfinished things, emptied by us however it ends.
      TMPDIR: scratch,
    },
  });
}

async function lookAtMemory(child: ChildProcess, rssMb: number, over: () => void): Promise<void> {
  if (child.pid === undefined || child.exitCode !== null) return;
  const status = await readFile(`/proc/${child.pid}/status`, 'utf8').catch(() => '');
  const resident = /^VmRSS:\s+(\d+) kB/m.exec(status)?.[1];
  if (resident !== undefined && (Number(resident) * 1024) / 1e6 > rssMb) over();
}

/** What a killed process left half written. */
async function removeParts(request: ReadOriginalRequest): Promise<void> {
  if (request.kind !== 'make-packs') return;
  for (const path of [request.ownPath, request.outgoingPath])
    if (path !== null) await rm(`${path}.part`, { force: true });
}
