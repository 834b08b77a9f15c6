import { beforeEach, describe, expect, it } from 'vitest';
import { ApiError } from '../route-fetch';
import type { FirstFrameMade, ToFirstFrameWorker } from './first-frame-worker';
import { FirstFrames, makeInWorker } from './first-frames';

const file = new Blob(['x']);
const jpeg = Uint8Array.from([0xff, 0xd8, 1]);
const settled = () => new Promise((resolve) => setTimeout(resolve, 0));

let asked: { ask: ToFirstFrameWorker; told: (made: FirstFrameMade) => void }[];
let put: [string, unknown][];
let fail: Error | null;
let may: boolean;
let later: (() => void)[];
let sent: string[];
let nowMs: number;
let forgotten: string[];

function frames() {
  return new FirstFrames({
    make: (ask, told) => asked.push({ ask, told }),
    mayGo: () => may,
    announce: () => Promise.resolve(),
    put: (id, entry) => {
      if (fail) return Promise.reject(fail);
      put.push([id, entry]);
      return Promise.resolve();
    },
    viewOf: () => 'rps-long-4ch',
    sent: (id) => sent.push(id),
    later: (run) => later.push(run),
    nowMs: () => nowMs,
    pictureUrl: () => 'blob:here',
    forget: (url) => forgotten.push(url),
  });
}

beforeEach(() => {
  [asked, put, later, sent] = [[], [], [], []];
  forgotten = [];
  fail = null;
  may = true;
  nowMs = 1000;
});

describe('first frames', () => {
  it('go with what was said of them, once', async () => {
    const f = frames();
    f.start('a', file, null);
    f.start('a', file, null);
    expect([asked.length, f.waiting()]).toEqual([1, true]);
    asked[0]?.told({ kind: 'made', jpeg });
    await settled();
    expect(put).toEqual([['a', { view: 'rps-long-4ch', decision: null, jpegBase64: '/9gB' }]]);
    expect([f.waiting(), f.read().get('a')?.state, sent]).toEqual([false, 'sent', ['a']]);
  });

  it('wait for a person where the file does not say what may leave, and go by that word only', async () => {
    const f = frames();
    f.start('a', file, null);
    asked[0]?.told({ kind: 'needs-decision', jpeg, widthPx: 80, heightPx: 60, fan: null });
    await settled();
    expect([put, f.waiting(), f.read().get('a')?.state]).toEqual([[], false, 'needs-decision']);
    f.decide('a', { kind: 'no-name-confirmed' });
    f.decide('a', { kind: 'box', box: { x0: 0, y0: 0, x1: 40, y1: 40 } });
    // Made by the word that no longer stands: it goes nowhere.
    asked[1]?.told({ kind: 'made', jpeg: Uint8Array.from([0xff, 0xd8, 2]) });
    await settled();
    expect(put).toEqual([]);
    asked[2]?.told({ kind: 'made', jpeg });
    await settled();
    expect(put).toMatchObject([['a', { decision: { kind: 'box' }, jpegBase64: '/9gB' }]]);
  });

  it('stand back for what is typed, and go when that is through', async () => {
    const f = frames();
    may = false;
    f.start('a', file, null);
    asked[0]?.told({ kind: 'made', jpeg });
    await settled();
    expect([put, f.waiting()]).toEqual([[], false]);
    may = true;
    f.look();
    await settled();
    expect(put).toHaveLength(1);
  });

  it('are tried again after a cut, and hold no file up meanwhile', async () => {
    const f = frames();
    fail = new ApiError('NO_NETWORK', 'No connection.');
    f.start('a', file, null);
    asked[0]?.told({ kind: 'made', jpeg });
    await settled();
    expect([f.waiting(), f.read().get('a')?.state]).toEqual([false, 'ready']);
    fail = null;
    later.at(-1)?.();
    await settled();
    expect(put).toHaveLength(1);
  });

  it('are given up where the server refuses them', async () => {
    const f = frames();
    fail = new ApiError('FIELD_INVALID', 'jpegBase64: no.');
    f.start('a', file, null);
    asked[0]?.told({ kind: 'made', jpeg });
    await settled();
    expect([f.waiting(), f.read().get('a')?.state]).toEqual([false, 'none']);
  });

  it('hold no file up that takes long to look at, and go all the same', async () => {
    const f = frames();
    f.start('a', file, null);
    const made = f.made('a').then(() => 'made');
    expect(f.waiting()).toBe(true);
    nowMs += 10_001;
    expect(f.waiting()).toBe(false);
    asked[0]?.told({ kind: 'made', jpeg });
    expect(await made).toBe('made');
    await settled();
    expect(put).toHaveLength(1);
  });
});

describe('an unmasked picture', () => {
  it('is let go once somebody decided, the file is dropped, or another person signs in', () => {
    const f = frames();
    const asks = () =>
      asked.at(-1)?.told({ kind: 'needs-decision', jpeg, widthPx: 80, heightPx: 60, fan: null });
    f.start('a', file, null);
    asks();
    f.decide('a', { kind: 'no-name-confirmed' });
    f.start('b', file, null);
    asks();
    f.drop('b');
    f.start('c', file, null);
    asks();
    f.clear();
    expect(forgotten).toHaveLength(3);
  });
});

describe('a picture that is not made', () => {
  it('is waited for ten seconds and no longer', async () => {
    const f = frames();
    f.start('a', file, null);
    let waited = false;
    void f.made('a').then(() => (waited = true));
    await settled();
    expect(waited).toBe(false);
    nowMs += 10_001;
    for (const run of later) run();
    await settled();
    expect(waited).toBe(true);
  });
});

describe('the worker', () => {
  it('answers each asking by itself, also two about one file', () => {
    let tell: (event: unknown) => void = () => undefined;
    const posted: { id: string }[] = [];
    const make = makeInWorker(() => ({
      addEventListener: (kind: string, listen: unknown) => {
        if (kind === 'message') tell = listen as typeof tell;
      },
      postMessage: (message: unknown) => posted.push(message as { id: string }),
    }));
    const got: string[] = [];
    make({ id: 'a', file, decision: { kind: 'no-name-confirmed' } }, () => got.push('older'));
    make({ id: 'a', file, decision: null }, () => got.push('newer'));
    tell({ data: { id: posted[1]?.id, made: { kind: 'made', jpeg } } });
    expect(got).toEqual(['newer']);
    tell({ data: { id: posted[0]?.id, made: { kind: 'made', jpeg } } });
    expect(got).toEqual(['newer', 'older']);
  });
});
