import { sayProblem } from '@chordae/words';
import type { Upload } from 'tus-js-client';
import { ApiError, call, isPassing, tellSignedOut } from '../api';
import { device, heldBack } from '../device';
import { looks } from '../looks/looks';
import { onSignedIn } from '../session';
import { uuidv7 } from '../uuid';
import { hashFile } from './hash-file';
import { hold, letGo } from './hold';
import { nameSent } from './name-later';
import { bodySentence, responseOf, statusOf } from './tus-errors';
import type { UploadItem } from './upload-state';
import { emptyItem, isLitter, rateOf, startable } from './upload-state';
import type { KeptUpload } from './upload-store';
import {
  dropFile,
  dropStrayFiles,
  dropUpload,
  keepFile,
  keepUpload,
  keptFile,
  keptUploads,
} from './upload-store';
import { KEPT_HERE, NOT_KEPT, READ_THERE, REFUSED, WAITS_FOR_CASE } from './upload-words';

export interface UploadPlace {
  readonly practiceId: string;
  readonly referralId: string;
  readonly scanId: string;
}

/** All uploads of this page: read, kept, compared, announced in order, sent three at a time, resumed. One per browser tab. */
class Uploads {
  private items: readonly UploadItem[] = [];
  private readonly files = new Map<string, File>();
  private readonly kept = new Map<string, KeptUpload>();
  private readonly running = new Map<string, Upload>();
  private readonly samples = new Map<string, { at: number; bytes: number }[]>();
  private readonly listeners = new Set<() => void>();
  private memberId: string | null = null;
  private seq = 0;
  private announcing: Promise<unknown> = Promise.resolve();
  private restoring: Promise<void> = Promise.resolve();
  private cuts = 0;
  private timer: ReturnType<typeof setTimeout> | null = null;

  constructor() {
    onSignedIn(() => {
      for (const i of this.items)
        if (i.state === 'signed-out') this.change(i.arrivalId, { state: 'waiting', says: null });
      this.start();
    });
    const me = device.member();
    if (me) void this.restoreFor(me.member.id);
    device.whenMe((now) => void this.restoreFor(now.member.id));
    device.outbox.subscribe(() => this.start());
    device.line.subscribe(() => this.lineChanged());
    looks.subscribe(() => this.keepViews());
    globalThis.addEventListener?.('online', () => {
      for (const i of this.items) if (i.state === 'failed') this.resume(i.arrivalId);
      this.cuts = 0;
      this.start();
    });
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): readonly UploadItem[] => this.items;

  /** Finds what a reload, a closed lid or a killed browser interrupted. */
  restore(): Promise<void> {
    // One after the other: two that run at once would take the same file twice.
    this.restoring = this.restoring.then(() => this.restoreOnce());
    return this.restoring;
  }

  private async restoreOnce(): Promise<void> {
    const memberId = this.memberId;
    if (memberId === null) return;
    for (const kept of await keptUploads()) {
      this.seq = Math.max(this.seq, kept.seq ?? 0);
      if ((kept.memberId ?? memberId) !== memberId || kept.sent || this.kept.has(kept.arrivalId)) continue;
      if (!(await hold(kept.arrivalId)) || this.memberId !== memberId) continue;
      const file = await keptFile(kept);
      this.kept.set(kept.arrivalId, { ...kept, memberId });
      if (!file) {
        this.put({ ...emptyItem(kept), state: 'file-wanted' });
        continue;
      }
      this.files.set(kept.arrivalId, file);
      this.put({ ...emptyItem(kept), state: 'checking' });
      void this.check(kept, file);
    }
    this.start();
  }

  private async restoreFor(memberId: string): Promise<void> {
    if (memberId !== this.memberId) {
      for (const upload of this.running.values()) void upload.abort();
      for (const i of this.items) letGo(i.arrivalId);
      this.items = [];
      for (const of of [this.files, this.kept, this.running, this.samples]) of.clear();
      this.memberId = memberId;
      this.tell();
      await dropStrayFiles().catch(() => undefined);
      void nameSent(() => this.memberId);
      // What another tab left when it was closed is found a little later.
      const looking = () => {
        if (this.memberId !== memberId) return;
        void this.restore();
        setTimeout(looking, 30_000);
      };
      setTimeout(looking, 2000);
    }
    await this.restore();
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
      this.seq += 1;
      const kept: KeptUpload = {
        ...place,
        arrivalId: uuidv7(),
        fileName: file.name,
        sizeBytes: file.size,
        sha256: null,
        announced: false,
        memberId: this.memberId ?? device.member()?.member.id ?? '',
        seq: this.seq,
        view: null,
        sent: false,
      };
      this.files.set(kept.arrivalId, file);
      this.kept.set(kept.arrivalId, kept);
      void hold(kept.arrivalId);
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
    this.kept.delete(arrivalId);
    letGo(arrivalId);
    this.items = this.items.filter((i) => i.arrivalId !== arrivalId);
    void dropUpload(arrivalId);
    this.tell();
    this.start();
  }

  private async check(found: KeptUpload, file: File): Promise<void> {
    const { arrivalId, practiceId } = found;
    if (file.size === 0) return this.refuse(arrivalId, 'refused', 'The file is empty.');
    const { readHeaderInBrowser } = await import('@chordae/codecs/browser');
    const header = await readHeaderInBrowser(file).catch(() => null);
    // What only the server can read is sent unseen; it says there what it is.
    if (header && !header.ok && !READ_THERE.has(header.problem.code))
      return this.refuse(arrivalId, 'refused', REFUSED[header.problem.code] ?? sayProblem(header.problem));
    this.change(arrivalId, { header: header?.ok ? header.value : null });
    // On the disk before anything else: from here on a killed browser loses nothing. The bytes first, then their record.
    const safe = (await keptFile(found)) !== null || (await keepFile(arrivalId, file));
    if (!this.kept.has(arrivalId)) return dropUpload(arrivalId);
    if (safe) await keepUpload(this.kept.get(arrivalId) ?? found);
    // While it is compared and sent, its pictures are looked at here.
    if (!found.announced && (header?.ok || header?.problem.code === 'READ_AFTER_UPLOAD')) {
      looks.start(arrivalId, file, found.view);
    }
    const sha256 = found.sha256 ?? (await hashFile(file));
    try {
      const known =
        sha256 && !found.announced
          ? await call('knownOriginals', { params: { practiceId }, body: { sha256s: [sha256] } })
          : [];
      const before = known[0];
      if (before) {
        const where = [
          before.patientName ? `for ${before.patientName}` : '',
          before.referralNumber === null ? '' : `in referral ${before.referralNumber}`,
        ];
        const says = `Already here: sent before ${where.filter(Boolean).join(' ')} as ${before.fileName}. It was not sent again.`;
        return this.refuse(arrivalId, 'known', says);
      }
    } catch {
      // Not knowing is no reason to hold a file back: the server compares again on arrival.
    }
    if (!this.kept.has(arrivalId)) return;
    await this.note(arrivalId, { sha256 });
    this.change(arrivalId, { state: 'waiting', says: safe ? null : NOT_KEPT });
    this.start();
  }

  private refuse(arrivalId: string, state: 'refused' | 'known', says: string): void {
    this.change(arrivalId, { state, says });
    void dropUpload(arrivalId);
  }

  /** Changes what is kept of a file, here and on the disk. */
  private async note(arrivalId: string, part: Partial<KeptUpload>): Promise<void> {
    const kept = this.kept.get(arrivalId);
    if (!kept) return;
    const next = { ...kept, ...part };
    this.kept.set(arrivalId, next);
    await keepUpload(next);
  }

  private keepViews(): void {
    for (const [arrivalId, { view }] of looks.read())
      if (this.kept.has(arrivalId) && this.kept.get(arrivalId)?.view !== view)
        void this.note(arrivalId, { view });
  }

  /** Small things go first, in their order; then files, in theirs. */
  private start(): void {
    const ops = device.outbox.read().filter((o) => o.memberId === this.memberId);
    const held = heldBack(ops);
    const smallFirst = ops.some((o) => !held.has(o.seq));
    // A signature that waits for its password stops no file: what was signed does not rest on it.
    const refused = heldBack(ops, true);
    const stopped = new Set(ops.filter((o) => refused.has(o.seq)).flatMap((o) => o.keys));
    const free = this.items.filter((i) => {
      if (i.state !== 'waiting') return i.state === 'sending';
      if (!stopped.has(`case:${i.referralId}`) && !stopped.has(`scan:${i.scanId}`)) return true;
      if (i.says !== WAITS_FOR_CASE) this.change(i.arrivalId, { says: WAITS_FOR_CASE });
      return false;
    });
    if (smallFirst || !navigator.onLine || this.timer !== null) {
      for (const i of free)
        if (i.state === 'waiting' && i.says === null && (!navigator.onLine || this.timer !== null))
          this.change(i.arrivalId, { says: KEPT_HERE });
      return;
    }
    for (const item of startable(free)) {
      this.change(item.arrivalId, { state: 'sending', says: null });
      void this.send(item.arrivalId).catch((error: unknown) => this.failed(item.arrivalId, error));
    }
  }

  private lineChanged(): void {
    if (device.line.read() === 'down') return this.start();
    this.cuts = 0;
    if (this.timer !== null) clearTimeout(this.timer);
    this.timer = null;
    this.start();
  }

  /** No line: the file waits on, and is tried again after a while that grows to twenty seconds. */
  private cut(arrivalId: string): void {
    this.change(arrivalId, { state: 'waiting', bytesPerSecond: null, says: KEPT_HERE });
    if (this.timer !== null) return;
    this.cuts += 1;
    this.timer = setTimeout(
      () => {
        this.timer = null;
        this.start();
      },
      Math.min(20_000, 1000 * 2 ** Math.min(this.cuts, 6)),
    );
  }

  private async announce(kept: KeptUpload): Promise<void> {
    const { arrivalId, practiceId, referralId, scanId, fileName, sizeBytes, sha256 } = kept;
    // One after the other: the server lists files in the order in which they were announced.
    const mine = this.announcing.then(async () => {
      await call('putArrival', {
        params: { practiceId, arrivalId },
        body: { referralId, scanId, fileName, sizeBytes, sha256 },
      });
      await this.note(arrivalId, { announced: true });
    });
    this.announcing = mine.catch(() => undefined);
    await mine;
  }

  private async send(arrivalId: string): Promise<void> {
    const kept = this.kept.get(arrivalId);
    const file = this.files.get(arrivalId);
    if (!kept || !file) return this.change(arrivalId, { state: 'file-wanted' });
    const { practiceId, sizeBytes } = kept;
    const resuming = kept.announced;
    if (!resuming) await this.announce(kept);
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
      onSuccess: () => this.arrived(arrivalId, sizeBytes),
    });
    if (this.kept.get(arrivalId) === undefined) return;
    this.running.set(arrivalId, upload);
    upload.start();
  }

  private arrived(arrivalId: string, sizeBytes: number): void {
    this.running.delete(arrivalId);
    this.cuts = 0;
    this.change(arrivalId, { state: 'done', sentBytes: sizeBytes, bytesPerSecond: null });
    this.files.delete(arrivalId);
    const named = (this.kept.get(arrivalId)?.view ?? null) !== null;
    if (named) {
      void this.note(arrivalId, { sent: true }).then(() => nameSent(() => this.memberId));
      void dropFile(arrivalId);
    } else void dropUpload(arrivalId);
    this.kept.delete(arrivalId);
    letGo(arrivalId);
    this.start();
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
    if (error instanceof ApiError ? isPassing(error) : responseOf(error) === null) return this.cut(arrivalId);
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

export const uploads = new Uploads();
