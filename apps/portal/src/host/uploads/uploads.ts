import type { MaskDecisionSaid } from '@chordae/contract';
import type { Upload } from 'tus-js-client';
import { tellSignedOut } from '../api';
import { device } from '../device';
import { looks } from '../looks/looks';
import { fetchRoute } from '../route-fetch';
import { onSignedIn } from '../session';
import { firstFramesOver } from './ahead';
import { Announcer } from './announce';
import { CasesShown } from './cases-shown';
import { hashFile } from './hash-file';
import { type FileSays, headerOf } from './header-of';
import { hold, letGo } from './hold';
import { MakeWay } from './make-way';
import { nameSent } from './name-later';
import { Rates } from './rates';
import { Rest } from './rest';
import { sentBefore } from './sent-before';
import { Slots } from './slots';
import { Stumbles } from './stumbles';
import { statusOf } from './tus-errors';
import { emptyItem, isLitter, startable, type UploadItem, wantedAgain } from './upload-state';
import {
  dropFile,
  dropStrayFiles,
  dropUpload,
  type KeptUpload,
  keepFile,
  keepUpload,
  keptFile,
  keptUploads,
  newUpload,
  type UploadPlace,
} from './upload-store';
import { KEPT_HERE, NOT_KEPT, SMALL_FIRST, WAITS_FOR_CASE, WAITS_FOR_SIGN_IN } from './upload-words';
import { writesWaiting } from './writes-waiting';

/** All uploads of this page: read, kept, compared, announced in order, sent three at a time, resumed. One per browser tab. */
class Uploads {
  private items: readonly UploadItem[] = [];
  private readonly files = new Map<string, File>();
  private readonly kept = new Map<string, KeptUpload>();
  private readonly running = new Map<string, Upload>();
  private readonly rates = new Rates();
  private readonly listeners = new Set<() => void>();
  private memberId: string | null = null;
  private seq = 0;
  private readonly announcer = new Announcer();
  private readonly slots = new Slots(2);
  readonly shown = new CasesShown();
  readonly firstFrames = firstFramesOver({
    mayGo: (id) => this.mayGoAhead(id),
    announce: (id) => this.announce(id),
    kept: (id) => this.kept.get(id),
    sent: (id, decision) => void this.note(id, { framed: true, decision }),
  });
  private readonly way = new MakeWay({
    underWay: () => this.items.some((i) => i.state === 'sending'),
    pause: () => this.pauseAll(),
    changed: () => this.start(),
  });
  readonly keepLineFree = (): (() => void) => this.way.keepFree();
  /** The attempt that counts: an older one that comes to itself later does nothing. */
  private readonly attempts = new Map<string, symbol>();
  private restoring: Promise<void> = Promise.resolve();
  private readonly stumbles = new Stumbles();
  private readonly rest = new Rest(() => this.start());

  constructor() {
    onSignedIn(this.signedInAgain);
    const me = device.member();
    if (me) void this.restoreFor(me.member.id);
    device.whenMe((now) => void this.restoreFor(now.member.id));
    device.outbox.subscribe(() => {
      this.firstFrames.look();
      this.start();
    });
    this.firstFrames.subscribe(() => this.start());
    device.line.subscribe(() => {
      if (device.line.read() !== 'down') this.rest.end();
      this.start();
    });
    looks.subscribe(() => this.keepViews());
    globalThis.addEventListener?.('online', () => {
      for (const i of this.items) if (i.state === 'failed') this.resume(i.arrivalId);
      this.rest.forget();
      this.firstFrames.kick();
      this.start();
    });
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): readonly UploadItem[] => this.items;

  private readonly signedInAgain = (): void => {
    for (const i of this.items)
      if (i.state === 'signed-out') this.change(i.arrivalId, { state: 'waiting', says: null });
    this.firstFrames.kick();
    this.start();
  };

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
      for (const of of [this.files, this.kept, this.running]) of.clear();
      this.firstFrames.clear();
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

  add(place: UploadPlace & { readonly filmed?: boolean }, picked: readonly File[]): void {
    void navigator.storage?.persist?.().catch(() => undefined);
    for (const file of picked) {
      if (isLitter(file.name)) continue;
      const wanted = wantedAgain(this.items, place.referralId, file);
      if (wanted) {
        this.files.set(wanted.arrivalId, file);
        this.change(wanted.arrivalId, { state: 'waiting', says: null });
        continue;
      }
      this.seq += 1;
      const memberId = this.memberId ?? device.member()?.member.id ?? '';
      const kept = newUpload(place, file, memberId, this.seq);
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
    this.firstFrames.drop(arrivalId);
    letGo(arrivalId);
    this.items = this.items.filter((i) => i.arrivalId !== arrivalId);
    void dropUpload(arrivalId);
    this.tell();
    this.start();
  }

  private async check(found: KeptUpload, file: File): Promise<void> {
    const says = await headerOf(file);
    if ('refused' in says) return this.refuse(found.arrivalId, 'refused', says.refused);
    this.change(found.arrivalId, { header: says.header });
    const giveBack = await this.slots.take();
    await this.keepAndCompare(found, file, says).finally(giveBack);
  }

  private async keepAndCompare(
    found: KeptUpload,
    file: File,
    { look }: Exclude<FileSays, { readonly refused: string }>,
  ): Promise<void> {
    const { arrivalId, practiceId } = found;
    // On the disk before anything else: from here on a killed browser loses nothing. The bytes first, then their record.
    const safe = (await keptFile(found)) !== null || (await keepFile(arrivalId, file));
    if (!this.kept.has(arrivalId)) return dropUpload(arrivalId);
    if (safe) await keepUpload(this.kept.get(arrivalId) ?? found);
    const sha256 = found.sha256 ?? (await hashFile(file));
    const before = found.announced ? null : await sentBefore(practiceId, sha256);
    if (before) return this.refuse(arrivalId, 'known', before);
    if (!this.kept.has(arrivalId)) return;
    await this.note(arrivalId, { sha256 });
    if (!found.framed && look) this.firstFrames.start(arrivalId, file, found.decision ?? null);
    if (!found.announced && look) void this.lookLater(found, file);
    this.change(arrivalId, { state: 'waiting', says: safe ? null : NOT_KEPT });
    this.start();
  }

  /** Looking takes the whole of a small computer: the other files of the drop are on the disk first, if that is soon. */
  private async lookLater({ arrivalId, referralId, sha256, view }: KeptUpload, file: File): Promise<void> {
    // Kept by an earlier page: it was looked at there, and is again when somebody looks.
    if (sha256 !== null) await this.shown.until(referralId);
    await this.firstFrames.made(arrivalId);
    await this.slots.idle(4000);
    if (this.items.some((i) => i.arrivalId === arrivalId)) looks.start(arrivalId, file, view);
  }

  /** Whether it came by the phone's camera, from a screen. */
  readonly isFilmed = (arrivalId: string): boolean => this.kept.get(arrivalId)?.filmed ?? false;
  decide(arrivalId: string, decision: MaskDecisionSaid): void {
    void this.note(arrivalId, { decision });
    this.firstFrames.decide(arrivalId, decision);
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

  private mayGoAhead(arrivalId: string): boolean {
    const kept = this.kept.get(arrivalId);
    const writes = writesWaiting(this.memberId);
    return kept !== undefined && !writes.waiting && navigator.onLine && !writes.stops(kept);
  }

  private pauseAll(): void {
    for (const { arrivalId, state } of this.items) {
      if (state !== 'sending') continue;
      void this.running.get(arrivalId)?.abort();
      this.running.delete(arrivalId);
      this.change(arrivalId, { state: 'waiting', bytesPerSecond: null, says: SMALL_FIRST });
    }
  }

  /** Small things go first, in their order; then first frames; then files, in theirs. */
  private start(): void {
    const writes = writesWaiting(this.memberId);
    const smallFirst = writes.waiting || this.way.wanted() || this.firstFrames.waiting();
    this.way.look(smallFirst);
    const free = this.items.filter((i) => {
      if (i.state !== 'waiting') return i.state === 'sending';
      if (!writes.stops(i)) return true;
      if (i.says !== WAITS_FOR_CASE) this.change(i.arrivalId, { says: WAITS_FOR_CASE });
      return false;
    });
    const noLine = !navigator.onLine || this.rest.rests();
    if (noLine || (smallFirst && device.line.read() === 'down'))
      for (const i of free)
        if (i.state === 'waiting' && (i.says === null || i.says === SMALL_FIRST))
          this.change(i.arrivalId, { says: KEPT_HERE });
    if (smallFirst || noLine) return;
    for (const item of startable(free)) {
      this.change(item.arrivalId, { state: 'sending', says: null });
      void this.send(item.arrivalId).catch((error: unknown) => this.failed(item.arrivalId, error));
    }
  }

  /** No line: the file waits on, and is tried again after a while that grows to twenty seconds. */
  private cut(arrivalId: string): void {
    this.change(arrivalId, { state: 'waiting', bytesPerSecond: null, says: KEPT_HERE });
    this.rest.cut();
  }

  private async announce(arrivalId: string): Promise<void> {
    const kept = this.kept.get(arrivalId);
    if (!kept || kept.announced) return;
    const machine = this.items.find((i) => i.arrivalId === arrivalId)?.header?.machine ?? null;
    await this.announcer.announce(kept, machine);
    await this.note(arrivalId, { announced: true });
  }

  private async send(arrivalId: string): Promise<void> {
    const kept = this.kept.get(arrivalId);
    const file = this.files.get(arrivalId);
    if (!kept || !file) return this.change(arrivalId, { state: 'file-wanted' });
    const { practiceId, sizeBytes } = kept;
    const resuming = kept.begun ?? kept.announced;
    const attempt = Symbol(arrivalId);
    this.attempts.set(arrivalId, attempt);
    await this.announce(arrivalId);
    const tus = await import('tus-js-client');
    await this.note(arrivalId, { begun: true });
    const stands = this.items.find((i) => i.arrivalId === arrivalId)?.state === 'sending';
    if (!stands || this.attempts.get(arrivalId) !== attempt) return;
    this.rates.begin(arrivalId);
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
    this.rest.forget();
    this.change(arrivalId, { state: 'done', sentBytes: sizeBytes, bytesPerSecond: null });
    this.files.delete(arrivalId);
    this.firstFrames.drop(arrivalId);
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
    const bytesPerSecond = this.rates.note(arrivalId, bytes);
    if (this.items.find((i) => i.arrivalId === arrivalId)?.state !== 'sending') return;
    this.change(arrivalId, { sentBytes: bytes, bytesPerSecond });
  }

  private failed(arrivalId: string, error: unknown): void {
    this.running.delete(arrivalId);
    const why = this.stumbles.why(arrivalId, error);
    if (why === 'signed-out') {
      tellSignedOut();
      this.change(arrivalId, { state: 'signed-out', bytesPerSecond: null, says: WAITS_FOR_SIGN_IN });
      // It may answer a request from before a signing in that has happened since.
      fetchRoute('me', {}).then(this.signedInAgain, () => undefined);
      return;
    }
    if (why === 'cut') return this.cut(arrivalId);
    this.change(arrivalId, { state: 'failed', bytesPerSecond: null, says: why });
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
