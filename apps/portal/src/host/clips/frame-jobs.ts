import type { PackIndex } from '@chordae/codecs';
import { PackStream } from '@chordae/codecs';

/** What the page asks of the frame worker. One worker serves all clips, each under its own key. */
export type ToFrameWorker =
  | { readonly kind: 'open'; readonly key: string; readonly url: string; readonly firstOnly: boolean }
  /** Decode these; `urgent` ones before all that was asked for ahead of time. */
  | {
      readonly kind: 'want';
      readonly key: string;
      readonly numbers: readonly number[];
      readonly urgent: boolean;
    }
  | { readonly kind: 'close'; readonly key: string };

export type FromFrameWorker =
  | { readonly kind: 'index'; readonly key: string; readonly index: PackIndex }
  | { readonly kind: 'frame'; readonly key: string; readonly number: number; readonly bitmap: ImageBitmap }
  | { readonly kind: 'problem'; readonly key: string; readonly code: string; readonly status: number | null };

/** The platform behind the worker, so that its order can be tried without a browser. */
export interface FramePlatform {
  /** `range` as in RFC 9110, section 14.2. */
  fetch(url: string, signal: AbortSignal, range: string): Promise<Response>;
  bitmapFrom(bytes: Uint8Array, type: string): Promise<ImageBitmap>;
}

/** Cookies go along, colour is left alone (so that pixels equal the file's), nothing is turned. */
export const browserFrames: FramePlatform = {
  fetch: (url, signal, range) => fetch(url, { credentials: 'include', signal, headers: { range } }),
  bitmapFrom: (bytes, type) =>
    createImageBitmap(new Blob([bytes as Uint8Array<ArrayBuffer>], { type }), {
      colorSpaceConversion: 'none',
      premultiplyAlpha: 'none',
    }),
};

interface OpenPack {
  readonly control: AbortController;
  /** Compressed frames stay here, so that what left the cache is decoded again without asking the server. */
  readonly frames: { readonly bytes: Uint8Array; readonly type: string }[];
  /** Asked for and not yet told. */
  readonly wanted: Map<number, Wish>;
  /** Being decoded: asked for again, they are on their way already. */
  readonly decoding: Set<number>;
}

interface Wish {
  readonly urgent: boolean;
  /** When it was asked for: the earlier comes first, those of one asking one after the other. */
  readonly turn: number;
}

/**
 * Frees a compressed frame at once. A worker's own heap is so small that its collector may not come by for hundreds of
 * megabytes outside it. A decoding that runs has a copy.
 */
function giveBack({ bytes }: { readonly bytes: Uint8Array }): void {
  const buffer = bytes.buffer as ArrayBuffer & { transfer?: (length: number) => ArrayBuffer };
  if (bytes.byteLength === buffer.byteLength) buffer.transfer?.(0);
}

/** Two at a time: the browser decodes beside the worker, and the newest wish must not wait for a long row. */
const AT_ONCE = 2;

/** What is asked for first: the index and at least one frame of 800 by 600 at high quality. */
const HEAD_BYTES = 192 * 1024;

/** Is it all of the pack, by what the server says of the part that it sends? */
function isWhole({ status, headers }: Response): boolean {
  if (status !== 206) return true;
  const [, end, size] = /bytes \d+-(\d+)\/(\d+)/.exec(headers.get('content-range') ?? '') ?? [];
  return Number(size) <= HEAD_BYTES && Number(end) === Number(size) - 1;
}

/** Fetches packs, keeps their compressed frames, and decodes what is asked for: urgent first, else in order of asking. */
export class FrameJobs {
  private readonly packs = new Map<string, OpenPack>();
  private running = 0;
  private asked = 0;
  /** Clips whose beginning is on its way, and what waits until there is none: all first pictures come before any loop. */
  private beginnings = 0;
  private readonly rests: (() => void)[] = [];

  constructor(
    private readonly tell: (message: FromFrameWorker, handOver: Transferable[]) => void,
    private readonly platform: FramePlatform = browserFrames,
  ) {}

  take(asked: ToFrameWorker): void {
    const pack = this.packs.get(asked.key);
    if (asked.kind === 'open') {
      pack?.control.abort();
      const opened: OpenPack = {
        control: new AbortController(),
        frames: [],
        wanted: new Map(),
        decoding: new Set(),
      };
      this.packs.set(asked.key, opened);
      // The first picture does not wait for the page to ask: it is decoded as soon as it is there.
      opened.wanted.set(0, { urgent: true, turn: 0 });
      void this.fetchPack(asked.key, asked.url, opened, asked.firstOnly);
    } else if (asked.kind === 'close') {
      pack?.control.abort();
      this.packs.delete(asked.key);
      pack?.frames.forEach(giveBack);
    } else if (pack) {
      this.asked += 1;
      asked.numbers.forEach((number, n) => {
        if (pack.decoding.has(number)) return;
        const before = pack.wanted.get(number);
        pack.wanted.set(number, {
          urgent: asked.urgent || (before?.urgent ?? false),
          turn: Math.min(before?.turn ?? Infinity, this.asked + n),
        });
      });
      this.work();
    }
  }

  /** Its beginning first, which holds the first picture; the rest when no other clip waits for its beginning. */
  private async fetchPack(key: string, url: string, pack: OpenPack, firstOnly: boolean): Promise<void> {
    const { signal } = pack.control;
    const stream = new PackStream();
    if (!firstOnly) this.beginnings += 1;
    const head = await this.fetchPart(key, url, pack, stream, { from: 0, etag: null, firstOnly }).finally(
      () => {
        if (!firstOnly) this.beginnings -= 1;
        if (this.beginnings === 0) for (const go of this.rests.splice(0)) go();
      },
    );
    if (head === null || head.whole || (firstOnly && pack.frames[0])) return;
    if (this.beginnings > 0) await new Promise<void>((resolve) => this.rests.push(resolve));
    if (signal.aborted) return;
    await this.fetchPart(key, url, pack, stream, { from: HEAD_BYTES, etag: head.etag, firstOnly });
  }

  private fail(key: string, pack: OpenPack, code: string, status: number | null = null): null {
    if (!pack.control.signal.aborted) this.tell({ kind: 'problem', key, code, status }, []);
    return null;
  }

  /** Fetches one part and takes its frames in; null where that failed or is wanted no more. */
  private async fetchPart(
    key: string,
    url: string,
    pack: OpenPack,
    stream: PackStream,
    { from, etag, firstOnly }: { from: number; etag: string | null; firstOnly: boolean },
  ): Promise<{ readonly whole: boolean; readonly etag: string | null } | null> {
    const { signal } = pack.control;
    const range = from === 0 ? `bytes=0-${HEAD_BYTES - 1}` : `bytes=${from}-`;
    const response = await this.platform.fetch(url, signal, range).catch(() => null);
    if (response === null) return this.fail(key, pack, 'PACK_NOT_FETCHED');
    if (!response.ok || response.body === null)
      return this.fail(key, pack, 'PACK_NOT_FETCHED', response.status);
    const whole = isWhole(response);
    // The whole again where the rest was asked for: what stands between does not do as asked.
    if (from > 0 && whole) return this.fail(key, pack, 'PACK_NOT_FETCHED');
    // Made anew since its beginning came: the parts of two packs are not put together, it is opened again.
    if (from > 0 && response.headers.get('etag') !== etag)
      return this.fail(key, pack, 'PACK_NOT_FETCHED', 409);
    const reader = response.body.getReader();
    for (;;) {
      const piece = await reader.read().catch(() => null);
      if (signal.aborted) return null;
      if (piece === null) return this.fail(key, pack, 'PACK_NOT_FETCHED');
      const events = piece.done ? (from > 0 || whole ? stream.end() : []) : stream.push(piece.value);
      for (const event of events) {
        if (event.kind === 'problem') return this.fail(key, pack, event.code);
        if (event.kind === 'index') this.tell({ kind: 'index', key, index: event.index }, []);
        else pack.frames[event.number] = { bytes: event.bytes, type: `image/${event.frame.encoding}` };
      }
      this.work();
      if (piece.done) return { whole, etag: response.headers.get('etag') };
      // A beginning ends soon by itself, and its connection is used again.
      if (firstOnly && pack.frames[0] && (whole || from > 0)) {
        void reader.cancel().catch(() => undefined);
        return { whole, etag: null };
      }
    }
  }

  /** The next frame to decode whose bytes are there: urgent ones first, then in turn, whichever clip they are of. */
  private next(): { readonly key: string; readonly number: number; readonly pack: OpenPack } | null {
    let best: { key: string; number: number; pack: OpenPack; wish: Wish } | null = null;
    for (const [key, pack] of this.packs)
      for (const [number, wish] of pack.wanted) {
        if (!pack.frames[number]) continue;
        const sooner =
          best === null || (wish.urgent === best.wish.urgent ? wish.turn < best.wish.turn : wish.urgent);
        if (sooner) best = { key, number, pack, wish };
      }
    return best;
  }

  private work(): void {
    while (this.running < AT_ONCE) {
      const job = this.next();
      if (!job) return;
      job.pack.wanted.delete(job.number);
      this.running += 1;
      void this.decode(job).finally(() => {
        this.running -= 1;
        this.work();
      });
    }
  }

  private async decode({
    key,
    number,
    pack,
  }: {
    key: string;
    number: number;
    pack: OpenPack;
  }): Promise<void> {
    const frame = pack.frames[number];
    if (!frame) return;
    pack.decoding.add(number);
    const bitmap = await this.platform.bitmapFrom(frame.bytes, frame.type).catch(() => null);
    pack.decoding.delete(number);
    if (pack.control.signal.aborted) return bitmap?.close();
    if (bitmap === null) this.tell({ kind: 'problem', key, code: 'FRAME_NOT_DECODED', status: null }, []);
    else this.tell({ kind: 'frame', key, number, bitmap }, [bitmap]);
  }
}
