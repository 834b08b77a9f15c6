import { describe, expect, it } from 'vitest';
import { lumaFromRgba } from '../luma';
import { packIndexEnd, packVersion, writePackIndex } from '../pack/frame-pack';
import type { DecodePlatform } from './decode-pack';
import { decodePack } from './decode-pack';
import type { FromDecodeWorker } from './messages';
import { readHeaderInBrowser } from './read-header';

const frames = [Uint8Array.from([1, 1]), Uint8Array.from([2, 2, 2]), Uint8Array.from([3])];

function pack(): Uint8Array {
  let offset = packIndexEnd(frames.length);
  const entries = frames.map((bytes, n) => {
    const entry = { offset, sizeBytes: bytes.length, timeMs: 20 * n, encoding: 'jpeg' as const };
    offset += bytes.length;
    return entry;
  });
  const out = new Uint8Array(offset);
  out.set(
    writePackIndex({ version: packVersion, widthPx: 2, heightPx: 1, totalBytes: offset, frames: entries }),
  );
  frames.forEach((bytes, n) => out.set(bytes, entries[n]?.offset ?? 0));
  return out;
}

function platformFor(body: Uint8Array, status = 200): DecodePlatform {
  return {
    fetch: () => Promise.resolve(new Response(body.slice(), { status })),
    bitmapFrom: (bytes) =>
      bytes[0] === 9
        ? Promise.reject(new Error('broken'))
        : Promise.resolve({ close: () => undefined, mark: bytes[0] } as unknown as ImageBitmap),
    lumaOf: () => Uint8Array.from([5]),
    rgbaOf: () => new Uint8ClampedArray([5, 5, 5, 255]),
  };
}

async function told(
  platform: DecodePlatform,
  signal = new AbortController().signal,
): Promise<FromDecodeWorker[]> {
  const out: FromDecodeWorker[] = [];
  await decodePack(
    { key: 'k', url: '/pack', wantLuma: true, signal },
    (message) => out.push(message),
    platform,
  );
  return out;
}

describe('decodePack', () => {
  it('tells index, frames in order with their times, then done', async () => {
    const messages = await told(platformFor(pack()));
    expect(messages.map((message) => message.kind)).toEqual(['index', 'frame', 'frame', 'frame', 'done']);
    expect(messages.flatMap((message) => (message.kind === 'frame' ? [message.timeMs] : []))).toEqual([
      0, 20, 40,
    ]);
  });

  it('tells what went wrong: status, cut line, broken frame', async () => {
    expect(await told(platformFor(pack(), 403))).toEqual([
      { kind: 'problem', key: 'k', code: 'PACK_NOT_FETCHED', status: 403 },
    ]);
    expect((await told(platformFor(pack().slice(0, -1)))).at(-1)).toMatchObject({
      kind: 'problem',
      code: 'PACK_TRUNCATED',
    });
    const broken = pack();
    broken[packIndexEnd(3)] = 9;
    expect((await told(platformFor(broken))).at(-1)).toMatchObject({
      kind: 'problem',
      code: 'FRAME_NOT_DECODED',
    });
  });

  it('falls silent once it is given up', async () => {
    const control = new AbortController();
    control.abort();
    expect(await told(platformFor(pack()), control.signal)).toEqual([]);
  });
});

describe('lumaFromRgba', () => {
  it('keeps grey and weighs colours by whole numbers', () => {
    const rgba = Uint8ClampedArray.from([77, 77, 77, 255, 255, 0, 0, 255, 0, 255, 0, 255]);
    expect(Array.from(lumaFromRgba(rgba))).toEqual([77, 77, 149]);
  });
});

describe('readHeaderInBrowser', () => {
  it('refuses what is no picture, before any upload', async () => {
    expect(await readHeaderInBrowser(new Blob(['dear all']))).toMatchObject({
      ok: false,
      problem: { code: 'NOT_AN_IMAGE' },
    });
    expect(await readHeaderInBrowser(new Blob([]))).toMatchObject({ problem: { code: 'FILE_EMPTY' } });
  });
});
