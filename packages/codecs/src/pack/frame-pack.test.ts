import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PackFrame } from './frame-pack';
import { packIndexEnd, packVersion, readPackHead, readPackIndex, writePackIndex } from './frame-pack';
import { PackStream } from './pack-stream';

function packOf(frames: readonly Uint8Array[], times: readonly number[] | null): Uint8Array {
  let offset = packIndexEnd(frames.length);
  const entries: PackFrame[] = frames.map((bytes, n) => {
    const entry = {
      offset,
      sizeBytes: bytes.length,
      timeMs: times?.[n] ?? null,
      encoding: n % 2 === 0 ? ('jpeg' as const) : ('png' as const),
    };
    offset += bytes.length;
    return entry;
  });
  const index = writePackIndex({
    version: packVersion,
    widthPx: 800,
    heightPx: 600,
    totalBytes: offset,
    frames: entries,
  });
  const out = new Uint8Array(offset);
  out.set(index);
  frames.forEach((bytes, n) => out.set(bytes, entries[n]?.offset ?? 0));
  return out;
}

const framesAndTimes = fc.array(
  fc.tuple(fc.uint8Array({ minLength: 1, maxLength: 50 }), fc.double({ min: 0, max: 1e6, noNaN: true })),
  { minLength: 1, maxLength: 12 },
);

describe('frame pack', () => {
  it('gives back index, times and frames, whatever pieces the bytes come in', () => {
    fc.assert(
      fc.property(framesAndTimes, fc.integer({ min: 1, max: 97 }), fc.boolean(), (wanted, step, timed) => {
        const frames = wanted.map(([bytes]) => bytes);
        const times = timed ? wanted.map(([, time]) => time) : null;
        const pack = packOf(frames, times);
        const stream = new PackStream();
        const events = [];
        for (let at = 0; at < pack.length; at += step) events.push(...stream.push(pack.slice(at, at + step)));
        events.push(...stream.end());
        expect(events[0]).toMatchObject({
          kind: 'index',
          index: { widthPx: 800, heightPx: 600, totalBytes: pack.length },
        });
        const got = events.flatMap((event) => (event.kind === 'frame' ? [event] : []));
        expect(got.map((event) => Array.from(event.bytes))).toEqual(frames.map((bytes) => Array.from(bytes)));
        expect(got.map((event) => event.frame.timeMs)).toEqual(frames.map((_, n) => times?.[n] ?? null));
        expect(events).toHaveLength(frames.length + 1);
      }),
    );
  });

  it('hands on the first frame before the second has come', () => {
    const pack = packOf([Uint8Array.from([1, 2, 3]), Uint8Array.from([4, 5])], [0, 20]);
    const events = new PackStream().push(pack.subarray(0, pack.length - 1));
    expect(events.map((event) => event.kind)).toEqual(['index', 'frame']);
  });

  it('says PACK_TRUNCATED when it ends early, at any byte', () => {
    const pack = packOf([Uint8Array.from([1, 2, 3]), Uint8Array.from([4, 5])], null);
    for (let length = 0; length < pack.length; length += 1) {
      const stream = new PackStream();
      const events = [...stream.push(pack.subarray(0, length)), ...stream.end()];
      expect(events.at(-1)).toEqual({ kind: 'problem', code: 'PACK_TRUNCATED' });
    }
  });

  it('refuses other files, other versions and damaged indexes', () => {
    const pack = packOf([Uint8Array.from([1, 2, 3])], [0]);
    const changed = (at: number, value: number): Uint8Array => {
      const copy = pack.slice();
      copy[at] = value;
      return copy;
    };
    expect(readPackHead(changed(0, 9))).toEqual({ ok: false, code: 'PACK_NOT_A_PACK' });
    expect(readPackHead(changed(6, 2))).toEqual({ ok: false, code: 'PACK_VERSION_UNKNOWN' });
    expect(readPackIndex(changed(32, 1))).toEqual({ ok: false, code: 'PACK_DAMAGED' });
    expect(readPackIndex(changed(44, 7))).toEqual({ ok: false, code: 'PACK_DAMAGED' });
    expect(readPackIndex(pack).ok).toBe(true);
  });
});
