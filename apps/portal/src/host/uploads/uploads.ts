import { sayProblem } from '@chordae/words';
import type { Upload } from 'tus-js-client';
import { ApiError, call, tellSignedOut } from '../api';
import { looks } from '../looks/looks';
import { onSignedIn } from '../session';
import { uuidv7 } from '../uuid';
import { hashFile } from './hash-file';
import type { UploadItem } from './upload-state';
import { isLitter, rateOf, startable } from './upload-state';
import type { KeptUpload } from './upload-store';
import { dropUpload, keepFile, keepUpload, keptFile, keptUploads } from './upload-store';

export interface UploadPlace {
  readonly practiceId: string;
  readonly referralId: string;
  readonly scanId: string;
}

const REFUSED: Record<string, string> = {
  NOT_AN_IMAGE: 'This is no image or clip. It was not sent.',
  DICOM_NO_PIXELS: 'A DICOM file without a picture, such as a report or a directory. It was not sent.',
};

/** Read by the server: files that a browser does not open, and reports without a picture. */
const READ_THERE = new Set(['READ_AFTER_UPLOAD', 'DICOM_REPORT']);

/** All uploads of this page: read, compared, announced, sent three at a time, resumed. One per browser tab. */
class Uploads {
  private items: readonly UploadItem[] = [];
  private readonly files = new Map<string, File>();
  private readonly kept = new Map<string, KeptUpload>();
  private readonly running = new Map<string, Upload>();
  private readonly samples = new Map<string, { at: number; bytes: number }[]>();
  private readonly listeners = new Set<() => void>();
  private restored: Promise<void> | null = null;

  constructor() {
    onSignedIn(() => {
      for (const i of this.items)
        if (i.state === 'signed-out') this.change(i.arrivalId, { state: 'waiting', says: null });
      this.start();
    });
    globalThis.addEventListener?.('online', () => {
      for (const i of this.items) if (i.state === 'failed') this.resume(i.arrivalId);
    });
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): readonly UploadItem[] => this.items;

  /** Finds what a reload or a closed lid interrupted. */
  restore(): Promise<void> {
    this.restored ??= keptUploads().then(async (all) => {
      for (const kept of all) {
        if (this.items.some((i) => i.arrivalId === kept.arrivalId)) continue;
        const file = await keptFile(kept);
        this.kept.set(kept.arrivalId, kept);
        if (file) this.files.set(kept.arrivalId, file);
        this.put({ ...emptyItem(kept), state: file ? 'waiting' : 'file-wanted' });
      }
      this.start();
    });
    return this.restored;
  }

  add(place: UploadPlace, picked: readonly File[]): void {
    void navigator.storage?.persist?.().catch(() => undefined);
    for (const file of picked) {
      if (isLitter(file.name)) continue;
      const wanted = this.items.find(
        (i) =>
          i.state === 'file-wanted' &&
          i.referralId === place.referralId &&
          i.fileName === file.name &&
          i.sizeBytes === file.size,
      );
      if (wanted) {
        this.files.set(wanted.arrivalId, file);
        this.change(wanted.arrivalId, { state: 'waiting', says: null });
        continue;
      }
      const kept: KeptUpload = {
        ...place,
        arrivalId: uuidv7(),
        fileName: file.name,
        sizeBytes: file.size,
        sha256: null,
        announced: false,
      };
      this.files.set(kept.arrivalId, file);
      this.kept.set(kept.arrivalId, kept);
      this.put({ ...emptyItem(kept), state: 'checking' });
      void this.check(kept, file);
    }
    this.start();
  }

  pause(arrivalId: string): void {
    void this.running.get(arrivalId)?.abort();
    this.running.delete(arrivalId);
    this.change(arrivalId, { state: 'paused', bytesPerSecond: null });
    this.start();
  }

  resume(arrivalId: string): void {
    this.change(arrivalId, { state: 'waiting', says: null });
    this.start();
  }

  remove(arrivalId: string): void {
    void this.running.get(arrivalId)?.abort();
    this.running.delete(arrivalId);
    this.files.delete(arrivalId);
    this.items = this.items.filter((i) => i.arrivalId !== arrivalId);
    void dropUpload(arrivalId);
    this.tell();
    this.start();
  }

  private async check(kept: KeptUpload, file: File): Promise<void> {
    const { arrivalId, practiceId } = kept;
    if (file.size === 0) return this.change(arrivalId, { state: 'refused', says: 'The file is empty.' });
    const { readHeaderInBrowser } = await import('@chordae/codecs/browser');
    const header = await readHeaderInBrowser(file).catch(() => null);
    // What only the server can read is sent unseen; it says there what it is.
    if (header && !header.ok && !READ_THERE.has(header.problem.code)) {
      const says = REFUSED[header.problem.code] ?? sayProblem(header.problem);
      return this.change(arrivalId, { state: 'refused', says });
    }
    this.change(arrivalId, { header: header?.ok ? header.value : null });
    // While it is compared and sent, its pictures are looked at here.
    if (header?.ok || header?.problem.code === 'READ_AFTER_UPLOAD') looks.start(arrivalId, file);
    const sha256 = await hashFile(file);
    try {
      const known = sha256
        ? await call('knownOriginals', { params: { practiceId }, body: { sha256s: [sha256] } })
        : [];
      const before = known[0];
      if (before) {
        const where = [
          before.patientName ? `for ${before.patientName}` : '',
          before.referralNumber === null ? '' : `in referral ${before.referralNumber}`,
        ];
        const says = `Already here: sent before ${where.filter(Boolean).join(' ')} as ${before.fileName}. It was not sent again.`;
        return this.change(arrivalId, { state: 'known', says });
      }
    } catch {
      // Not knowing is no reason to hold a file back: the server compares again on arrival.
    }
    if (!this.items.some((i) => i.arrivalId === arrivalId)) return;
    const next = { ...kept, sha256 };
    this.kept.set(arrivalId, next);
    await keepUpload(next);
    void keepFile(arrivalId, file);
    this.change(arrivalId, { state: 'waiting' });
    this.start();
  }

  private start(): void {
    for (const item of startable(this.items)) {
      this.change(item.arrivalId, { state: 'sending', says: null });
      void this.send(item.arrivalId).catch((error: unknown) => this.failed(item.arrivalId, error));
    }
  }

  private async send(arrivalId: string): Promise<void> {
    const kept = this.kept.get(arrivalId);
    const file = this.files.get(arrivalId);
    if (!kept || !file) return this.change(arrivalId, { state: 'file-wanted' });
    const { practiceId, referralId, scanId, fileName, sizeBytes, sha256 } = kept;
    const resuming = kept.announced;
    if (!resuming) {
      await call('putArrival', {
        params: { practiceId, arrivalId },
        body: { referralId, scanId, fileName, sizeBytes, sha256 },
      });
      const announced = { ...kept, announced: true };
      this.kept.set(arrivalId, announced);
      await keepUpload(announced);
    }
    const tus = await import('tus-js-client');
    this.samples.set(arrivalId, []);
    const upload = new tus.Upload(file, {
      endpoint: '/api/uploads',
      // The address is known beforehand; asking it first tells how much is there.
      uploadUrl: resuming ? `/api/uploads/${arrivalId}` : null,
      metadata: { arrivalId, practiceId },
      chunkSize: 8 * 1024 * 1024,
      retryDelays: [0, 1000, 3000, 5000, 10_000],
      storeFingerprintForResuming: false,
      onShouldRetry: (error) => statusOf(error) !== 401,
      onProgress: (bytes) => this.progress(arrivalId, bytes),
      onError: (error) => this.failed(arrivalId, error),
      onSuccess: () => {
        this.running.delete(arrivalId);
        this.change(arrivalId, { state: 'done', sentBytes: sizeBytes, bytesPerSecond: null });
        this.files.delete(arrivalId);
        void dropUpload(arrivalId);
        this.start();
      },
    });
    this.running.set(arrivalId, upload);
    upload.start();
  }

  private progress(arrivalId: string, bytes: number): void {
    const samples = this.samples.get(arrivalId) ?? [];
    const now = Date.now();
    samples.push({ at: now, bytes });
    while ((samples[0]?.at ?? now) < now - 3000 && samples.length > 2) samples.shift();
    if (this.items.find((i) => i.arrivalId === arrivalId)?.state !== 'sending') return;
    this.change(arrivalId, { sentBytes: bytes, bytesPerSecond: rateOf(samples) });
  }

  private failed(arrivalId: string, error: unknown): void {
    this.running.delete(arrivalId);
    const out = statusOf(error) === 401 || (error instanceof ApiError && error.code === 'SIGNED_OUT');
    if (out) {
      tellSignedOut();
      this.change(arrivalId, {
        state: 'signed-out',
        bytesPerSecond: null,
        says: 'Waits until you have signed in again.',
      });
      return;
    }
    const says =
      error instanceof ApiError
        ? error.message
        : (bodySentence(error) ?? 'The line was cut. What has arrived is kept; it goes on from there.');
    this.change(arrivalId, { state: 'failed', bytesPerSecond: null, says });
    this.start();
  }

  private change(arrivalId: string, part: Partial<UploadItem>): void {
    this.items = this.items.map((i) => (i.arrivalId === arrivalId ? { ...i, ...part } : i));
    this.tell();
  }
  private put(item: UploadItem): void {
    this.items = [...this.items, item];
    this.tell();
  }
  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

function emptyItem(kept: KeptUpload): Omit<UploadItem, 'state'> {
  const { arrivalId, practiceId, referralId, scanId, fileName, sizeBytes } = kept;
  const where = { arrivalId, practiceId, referralId, scanId, fileName, sizeBytes };
  return { ...where, sentBytes: 0, bytesPerSecond: null, says: null, header: null };
}

function responseOf(error: unknown): { getStatus(): number; getBody(): string } | null {
  const found = (error as { originalResponse?: { getStatus(): number; getBody(): string } | null })
    ?.originalResponse;
  return found ?? null;
}
function statusOf(error: unknown): number | null {
  return responseOf(error)?.getStatus() ?? null;
}
function bodySentence(error: unknown): string | null {
  try {
    const reply = JSON.parse(responseOf(error)?.getBody() ?? '') as { message?: unknown };
    return typeof reply.message === 'string' ? reply.message : null;
  } catch {
    return null;
  }
}

export const uploads = new Uploads();
