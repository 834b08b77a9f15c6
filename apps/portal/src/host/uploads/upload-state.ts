import type { ClipDescription, MachineSays } from '@chordae/contract';

export type UploadState =
  | 'checking'
  | 'known'
  | 'refused'
  | 'waiting'
  | 'sending'
  | 'paused'
  | 'signed-out'
  | 'file-wanted'
  | 'failed'
  | 'done';

export interface UploadItem {
  readonly arrivalId: string;
  readonly practiceId: string;
  readonly referralId: string;
  readonly scanId: string;
  readonly fileName: string;
  readonly sizeBytes: number;
  readonly sentBytes: number;
  readonly state: UploadState;
  /** Bytes in a second, smoothed; null until known. */
  readonly bytesPerSecond: number | null;
  /** A sentence: why it was refused, failed, or where it was sent before. */
  readonly says: string | null;
  readonly header: { readonly description: ClipDescription; readonly machine: MachineSays } | null;
}

/** An upload of which nothing is sent yet. */
export function emptyItem(
  of: Pick<UploadItem, 'arrivalId' | 'practiceId' | 'referralId' | 'scanId' | 'fileName' | 'sizeBytes'>,
): Omit<UploadItem, 'state'> {
  const { arrivalId, practiceId, referralId, scanId, fileName, sizeBytes } = of;
  const where = { arrivalId, practiceId, referralId, scanId, fileName, sizeBytes };
  return { ...where, sentBytes: 0, bytesPerSecond: null, says: null, header: null };
}

/** Smooths the rate over about three seconds. `samples` are (ms, bytes), oldest first. */
export function rateOf(samples: readonly { readonly at: number; readonly bytes: number }[]): number | null {
  const first = samples[0];
  const last = samples.at(-1);
  if (!first || !last || last.at - first.at < 250) return null;
  return Math.max(0, ((last.bytes - first.bytes) * 1000) / (last.at - first.at));
}

/** Seconds left for one item, or null while the rate is not known. */
export function secondsLeft(
  item: Pick<UploadItem, 'sizeBytes' | 'sentBytes' | 'bytesPerSecond'>,
): number | null {
  if (!item.bytesPerSecond) return null;
  return (item.sizeBytes - item.sentBytes) / item.bytesPerSecond;
}

/** Which items may start now: in order, at most `most` at once. */
export function startable(items: readonly UploadItem[], most = 3): UploadItem[] {
  const running = items.filter((i) => i.state === 'sending').length;
  return items.filter((i) => i.state === 'waiting').slice(0, Math.max(0, most - running));
}

/** Items still on their way. */
export function unfinished(items: readonly UploadItem[]): UploadItem[] {
  return items.filter((i) => !['done', 'known', 'refused'].includes(i.state));
}

/** The item of a case whose bytes are gone from this device, if this file is the one. */
export function wantedAgain(
  items: readonly UploadItem[],
  referralId: string,
  file: { readonly name: string; readonly size: number },
): UploadItem | undefined {
  return items.find(
    (i) =>
      i.state === 'file-wanted' &&
      i.referralId === referralId &&
      i.fileName === file.name &&
      i.sizeBytes === file.size,
  );
}

const IGNORED = /^(\.|thumbs\.db$|desktop\.ini$|__macosx)/i;
/** Files that a stick carries without anybody's wish. */
export function isLitter(fileName: string): boolean {
  return IGNORED.test(fileName);
}
