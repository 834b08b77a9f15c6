import { packIndexEnd, packVersion, writePackIndex } from '@chordae/codecs';
import { describe, expect, it } from 'vitest';
import type { FramePlatform, FromFrameWorker } from './frame-jobs';
import { FrameJobs } from './frame-jobs';

function packOf(count: number, sizeBytes = 1): Uint8Array {
  const end = packIndexEnd(count);
  const frames = Array.from({ length: count }, (_, n) => ({
    offset: end + n * sizeBytes,
    sizeBytes,
    timeMs: 20 * n,
    encoding: 'jpeg' as const,
  }));
  const totalBytes = end + count * sizeBytes;
  const out = new Uint8Array(totalBytes);
  out.set(writePackIndex({ version: packVersion, widthPx: 2, heightPx: 1, totalBytes, frames }));
  for (let n = 0; n < count; n += 1) out[end + n * sizeBytes] = n;
  return out;
}

/** A platform whose decoding ends when it is told to. */
function platform(body: Uint8Array, status = 200) {
  const begun: number[] = [];
  const ends: (() => void)[] = [];
  let closed = 0;
  const made: FramePlatform = {
    fetch: () => Promise.resolve(new Response(body.slice(), { status })),
    bitmapFrom: (bytes) =>
      new Promise((resolve) => {
        begun.push(bytes[0] ?? -1);
        ends.push(() => resolve({ close: () => (closed += 1) } as unknown as ImageBitmap));
      }),
  };
  const settle = () => new Promise((resolve) => setTimeout(resolve, 5));
  return {
    made,
    begun,
    settle,
    closed: () => closed,
    async endAll() {
      for (let n = 0; n < 60; n += 1) {
        ends.splice(0).forEach((end) => end());
        await settle();
        if (ends.length === 0) return;
      }
    },
  };
}

describe('the frame worker', () => {
  it('decodes what is asked for, urgent frames before those asked ahead', async () => {
    const p = platform(packOf(6));
    const told: FromFrameWorker[] = [];
    const jobs = new FrameJobs((m) => told.push(m), p.made);
    jobs.take({ kind: 'open', key: 'a', url: '/a', firstOnly: false });
    await p.settle();
    jobs.take({ kind: 'want', key: 'a', numbers: [0, 1, 2, 3], urgent: false });
    jobs.take({ kind: 'want', key: 'a', numbers: [5], urgent: true });
    await p.endAll();
    // The first began by itself, and another before the urgent one came; what is being decoded is not decoded twice.
    expect(p.begun).toEqual([0, 1, 5, 2, 3]);
    expect(told.flatMap((m) => (m.kind === 'frame' ? [m.number] : []))).toHaveLength(5);
    expect(told[0]?.kind).toBe('index');
  });

  it('decodes again what left the cache, without fetching again', async () => {
    const p = platform(packOf(2));
    let fetched = 0;
    const jobs = new FrameJobs(() => undefined, {
      ...p.made,
      fetch: (...asked) => {
        fetched += 1;
        return p.made.fetch(...asked);
      },
    });
    jobs.take({ kind: 'open', key: 'a', url: '/a', firstOnly: false });
    await p.settle();
    for (const _ of [1, 2]) {
      jobs.take({ kind: 'want', key: 'a', numbers: [1], urgent: true });
      await p.endAll();
    }
    expect(p.begun).toEqual([0, 1, 1]);
    expect(fetched).toBe(1);
  });

  it('takes only the first frame for a small picture, and says what went wrong', async () => {
    const p = platform(packOf(3));
    const told: FromFrameWorker[] = [];
    new FrameJobs((m) => told.push(m), p.made).take({ kind: 'open', key: 'a', url: '/a', firstOnly: true });
    await p.settle();
    await p.endAll();
    expect(told.map((m) => m.kind)).toEqual(['index', 'frame']);
    const refused = platform(packOf(1), 409);
    const said: FromFrameWorker[] = [];
    new FrameJobs((m) => said.push(m), refused.made).take({
      kind: 'open',
      key: 'b',
      url: '/b',
      firstOnly: false,
    });
    await refused.settle();
    expect(said).toEqual([{ kind: 'problem', key: 'b', code: 'PACK_NOT_FETCHED', status: 409 }]);
    const cut = platform(packOf(3).slice(0, -1));
    const heard: FromFrameWorker[] = [];
    new FrameJobs((m) => heard.push(m), cut.made).take({
      kind: 'open',
      key: 'c',
      url: '/c',
      firstOnly: false,
    });
    await cut.settle();
    expect(heard.at(-1)).toMatchObject({ kind: 'problem', code: 'PACK_TRUNCATED' });
  });

  /** A server that sends ranges of a pack, each when it is told to; what was asked, in order. */
  function ranges(pack: Uint8Array, etagOf: (asked: number) => string = () => '"one"') {
    const asked: string[] = [];
    const gates: (() => void)[] = [];
    const p = platform(pack);
    const made: FramePlatform = {
      ...p.made,
      fetch: (url, _signal, range) =>
        new Promise((resolve) => {
          const [, from = '', to = ''] = /bytes=(\d+)-(\d*)/.exec(range) ?? [];
          const end = Math.min(pack.length, to === '' ? pack.length : Number(to) + 1);
          const headers = {
            'content-range': `bytes ${from}-${end - 1}/${pack.length}`,
            etag: etagOf(asked.length),
          };
          asked.push(`${url} ${from}`);
          gates.push(() => resolve(new Response(pack.slice(Number(from), end), { status: 206, headers })));
        }),
    };
    return { ...p, made, asked, gates };
  }
  /** More than is asked for first: a second part has to be fetched. */
  const long = packOf(3, 150_000);

  it('asks for the beginnings of all clips before the rest of any', async () => {
    const p = ranges(long);
    const told: FromFrameWorker[] = [];
    const jobs = new FrameJobs((m) => told.push(m), p.made);
    for (const key of ['a', 'b']) jobs.take({ kind: 'open', key, url: `/${key}`, firstOnly: false });
    await p.settle();
    p.gates[0]?.();
    await p.settle();
    await p.endAll();
    // The first picture of a is there; its rest waits for the beginning of b.
    expect(told.filter((m) => m.kind === 'frame').map((m) => m.key)).toEqual(['a']);
    expect(p.asked).toEqual(['/a 0', '/b 0']);
    p.gates[1]?.();
    await p.settle();
    expect(p.asked.map((one) => one.slice(0, 2)).sort()).toEqual(['/a', '/a', '/b', '/b']);
  });

  it('puts no two packs together where one was made anew between its parts', async () => {
    const p = ranges(long, (asked) => `"${asked}"`);
    const told: FromFrameWorker[] = [];
    new FrameJobs((m) => told.push(m), p.made).take({ kind: 'open', key: 'a', url: '/a', firstOnly: false });
    for (const n of [0, 1]) {
      await p.settle();
      p.gates[n]?.();
    }
    await p.settle();
    expect(told.at(-1)).toMatchObject({ kind: 'problem', status: 409 });
    await p.endAll();
    expect(p.begun).toEqual([0]);
  });

  it('falls silent once a clip is closed, and closes what was being decoded', async () => {
    const p = platform(packOf(3));
    const told: FromFrameWorker[] = [];
    const jobs = new FrameJobs((m) => told.push(m), p.made);
    jobs.take({ kind: 'open', key: 'a', url: '/a', firstOnly: false });
    await p.settle();
    jobs.take({ kind: 'want', key: 'a', numbers: [0], urgent: true });
    jobs.take({ kind: 'close', key: 'a' });
    await p.endAll();
    expect(told.map((m) => m.kind)).toEqual(['index']);
    expect(p.closed()).toBe(1);
  });
});
