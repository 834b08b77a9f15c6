import { stat } from 'node:fs/promises';
import path from 'node:path';
import { openFileSource, sha256OfFile } from '@chordae/codecs/node';
import type { MachineSays, OpenScan } from '@chordae/contract';
import { describeDicom, locateFrames, recognise } from '@chordae/dicom';
import { filesBelow } from '../files-below';
import type { SentFile, SentState } from './sent-state';
import { Refused, type Server } from './server';
import { whereTo } from './where-to';

export interface SendPorts {
  readonly server: Server;
  readonly state: SentState;
  readonly newId: () => string;
  readonly nowMs: () => number;
}

/** What became of one file in one pass. */
export type FileOutcome =
  | {
      readonly file: string;
      readonly outcome: 'sent' | 'known';
      readonly referral: number;
      readonly bytes: number;
    }
  | { readonly file: string; readonly outcome: 'before' }
  | { readonly file: string; readonly outcome: 'waits'; readonly why: string }
  | { readonly file: string; readonly outcome: 'no-image' }
  | { readonly file: string; readonly outcome: 'growing' }
  | { readonly file: string; readonly outcome: 'failed'; readonly why: string };

/** A machine writes its export over seconds: a file that changed so lately is left for the next pass. */
const STILL_MS = 3000;
/** One that is not whole by its own header is waited for so long; machines pause while they write. */
const HALF_MS = 120_000;

/**
 * One pass over a folder: each finished file goes to the open case that its header names, or to the one that was named.
 * A file that was sent before is skipped, one that was cut off goes on where it was, and what fits no case waits.
 */
export async function sendFolder(
  ports: SendPorts,
  asked: { readonly folder: string; readonly referral: number | null },
  told: (at: { file: string; sent: number; of: number }) => void,
  done: (outcome: FileOutcome) => void,
): Promise<void> {
  const { practiceId } = await ports.server.self();
  const open = await ports.server.openScans(practiceId);
  const named = asked.referral === null ? null : open.find((s) => s.number === asked.referral);
  if (named === undefined)
    throw new Refused(`no open case of this practice has the number ${asked.referral ?? ''}.`);
  for await (const file of filesBelow(asked.folder, { hidden: false })) {
    try {
      done(await sendOne(ports, practiceId, asked.folder, file, named, open, told));
    } catch (error) {
      if (error instanceof Refused && /key/.test(error.message)) throw error;
      done({ file, outcome: 'failed', why: error instanceof Error ? error.message : String(error) });
    }
  }
}

async function sendOne(
  { server, state, newId, nowMs }: SendPorts,
  practiceId: string,
  folder: string,
  file: string,
  named: OpenScan | null,
  open: readonly OpenScan[],
  told: (at: { file: string; sent: number; of: number }) => void,
): Promise<FileOutcome> {
  const full = path.join(folder, file);
  const { size, mtimeMs } = await stat(full);
  if (size === 0 || Math.abs(nowMs() - mtimeMs) < STILL_MS) return { file, outcome: 'growing' };
  const kept = state.get(file, size, mtimeMs);
  if (kept && kept.state !== 'announced') return { file, outcome: 'before' };
  const target = kept ? open.find((s) => s.referralId === kept.referralId) : undefined;
  let entry = kept;
  if (!entry) {
    const found = await placeOf(full, named, open);
    if (found === 'half' && Math.abs(nowMs() - mtimeMs) < HALF_MS) return { file, outcome: 'growing' };
    if (found === 'half')
      return { file, outcome: 'failed', why: 'it ends before its header says: export it again.' };
    if (found === 'no-image') return { file, outcome: 'no-image' };
    if ('why' in found) return { file, outcome: 'waits', why: found.why };
    const sha256 = await sha256OfFile(full);
    const fresh: SentFile = {
      size,
      changedMs: mtimeMs,
      arrivalId: newId(),
      referralId: found.to.referralId,
      scanId: found.to.scanId,
      sha256,
      state: 'announced',
    };
    if (await server.isKnown(practiceId, sha256)) {
      state.put(file, { ...fresh, state: 'known' });
      return { file, outcome: 'known', referral: found.to.number, bytes: size };
    }
    // Announced under its own id before a byte goes: a run that dies here goes on with the same one.
    state.put(file, fresh);
    entry = fresh;
  }
  await server.announce(practiceId, path.basename(file), entry);
  await server.send(practiceId, full, entry, kept !== null, (sent) => told({ file, sent, of: size }));
  state.put(file, { ...entry, state: 'sent' });
  const number = (target ?? open.find((s) => s.referralId === entry.referralId))?.number ?? 0;
  return { file, outcome: 'sent', referral: number, bytes: size };
}

async function placeOf(
  full: string,
  named: OpenScan | null,
  open: readonly OpenScan[],
): Promise<{ to: OpenScan } | { why: string } | 'no-image' | 'half'> {
  const source = await openFileSource(full);
  let machine: MachineSays | null = null;
  try {
    const format = recognise(await source.read(0, 4096), source.size);
    if (!format.ok) return 'no-image';
    if (format.value === 'dicom') {
      const read = await describeDicom(source);
      if (!(await isWhole(read))) return 'half';
      machine = read.ok ? read.value.machine : null;
    }
  } finally {
    await source.close();
  }
  return named ? { to: named } : whereTo(machine, open);
}

/** Does a file hold what its header promises; native frames are counted where the header is read. */
async function isWhole(read: Awaited<ReturnType<typeof describeDicom>>): Promise<boolean> {
  const cut = (code: string) => code === 'FILE_TRUNCATED' || code === 'FRAMES_MISSING';
  if (!read.ok) return !cut(read.problem.code);
  if (read.value.header.coding === 'native') return true;
  const places = await locateFrames(read.value);
  return places.ok || !cut(places.problem.code);
}
