import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

/** Which guards hold on this machine, to print at start and to refuse in production without any. */
export interface ActiveGuards {
  readonly ownProcess: true;
  readonly heapLimit: true;
  readonly wallTime: true;
  /** Memory of the whole process is watched and the process killed above the limit. */
  readonly residentMemory: boolean;
  /** The process has no network. */
  readonly noNetwork: boolean;
  readonly emptyEnvironment: true;
}

let probed: ActiveGuards | null = null;

/** Probes once. `unshare -n` needs root or user namespaces (then `-rn`); the result says what was really possible. */
export function activeGuards(): ActiveGuards {
  probed ??= {
    ownProcess: true,
    heapLimit: true,
    wallTime: true,
    residentMemory: existsSync('/proc/self/status'),
    noNetwork: unshareArguments() !== null,
    emptyEnvironment: true,
  };
  return probed;
}

let unshare: readonly string[] | null | undefined;

/** Arguments of `unshare` that work here, or null. */
export function unshareArguments(): readonly string[] | null {
  if (unshare === undefined)
    unshare = process.platform === 'linux' ? ([['-n'], ['-rn']].find(canUnshare) ?? null) : null;
  return unshare;
}

function canUnshare(flags: readonly string[]): boolean {
  return spawnSync('unshare', [...flags, 'true'], { stdio: 'ignore', timeout: 5000 }).status === 0;
}
